//! How long typical problems take whose slots take several items:
//! `cargo run --release -p pairwright-assign --example several_speed [-- TEXT]`.
//!
//! Prints the median and the worst of 5 piles in milliseconds, the listing of bundles included, and how many ended
//! proven. Fine values are whole numbers up to 200,000, coarse ones multiples of 2,540 of them; odd ones do not add up.

#![allow(clippy::allow_attributes, clippy::print_stdout, clippy::disallowed_types, reason = "it prints times")]

use pairwright_assign::several::{SeveralOutcome, SeveralProblem, solve_several};
use pairwright_assign::{Item, Measure, Pile, Roles, Sense, Shape, Slot, Table, Worth};
use std::hint::black_box;
use std::time::Instant;

#[path = "numbers/mix.rs"]
mod mix;

use mix::Mix;

/// How many piles of each kind.
const PILES: u64 = 5;

/// Values that do not add up: a pair of items brings something of its own.
fn odd(slot: Slot, items: &[Item]) -> i64 {
    let of = |item: &Item| u64::from(item.number()) + 1;
    let seed = items.iter().fold(u64::from(slot.number()), |seed, item| seed * 1_000 + of(item));
    Mix(seed).below(200_000)
}

fn row(name: &str, pile: Pile, tick: Option<i64>) {
    let odd = |slot: Slot, items: &[Item]| Some(odd(slot, items));
    let measures = [
        (Measure::Spread, "spread"),
        (Measure::WorstFrom { target: 250_000 }, "worst"),
        (Measure::SquaresFrom { target: 250_000 }, "squares from"),
        (Measure::SquaresAboutMean, "squares"),
        (Measure::Total, "total"),
    ];
    for (measure, what) in measures {
        let name = format!("{} x {} of {} {name}, {what}", pile.slots, pile.each, pile.items);
        if std::env::args().nth(1).is_some_and(|text| !name.contains(&text)) {
            continue;
        }
        let (mut times, mut proven) = (Vec::new(), 0);
        for seed in 1..=PILES {
            let mut mix = Mix(seed);
            let tick = tick.unwrap_or(1);
            let mut sizes = |count| (0..count).map(|_| mix.below(200_000) / tick * tick).collect::<Vec<_>>();
            let (base, items) = (sizes(pile.slots), sizes(pile.items));
            let shape = Shape { slots: pile.slots, items: pile.items };
            let table = Table::from_fn(shape, |_, item| Some(items[item.index()])).expect("small values");
            let worth =
                if name.contains("odd") { Worth::Function(&odd) } else { Worth::Sum { base: &base, table: &table } };
            let start = Instant::now();
            let problem = SeveralProblem::new(pile, &worth, measure, Sense::Least).expect("small values");
            if matches!(black_box(solve_several(black_box(&problem))), SeveralOutcome::Proven { .. }) {
                proven += 1;
            }
            times.push(start.elapsed().as_secs_f64() * 1e3);
        }
        times.sort_by(f64::total_cmp);
        println!("{name:<40}{:>10.2} {:>10.2}   {proven:>2} proven", times[times.len() / 2], times[times.len() - 1]);
    }
}

fn main() {
    println!("milliseconds, median and worst of 5 piles");
    let pile = |slots, items, each| Pile { slots, items, each, roles: Roles::Alike };
    for (name, tick) in [("fine", Some(1)), ("coarse", Some(2_540)), ("odd", None)] {
        row(name, pile(5, 10, 2), tick);
        row(name, pile(7, 40, 2), tick);
    }
    row("fine", pile(7, 14, 2), Some(1));
    row("fine", Pile { roles: Roles::Told, ..pile(7, 40, 2) }, Some(1));
    row("fine", pile(5, 20, 3), Some(1));
    row("fine", pile(12, 80, 2), Some(1));
}
