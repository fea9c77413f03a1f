//! How long a pile of 100,000 items for 8 slots takes: `cargo run --release -p pairwright-assign --example piles
//! [-- TEXT]`, for all rows or those whose name contains TEXT.
//!
//! Prints the least time of nine solves in milliseconds, tables built beforehand. Sizes are multiples of a tick of a
//! typical reading (2540) or fine; values are exactly slot + item, or with a little noise that is neither; one pair in
//! fifty is forbidden.

#![allow(clippy::allow_attributes, clippy::print_stdout, clippy::disallowed_types, reason = "it prints times")]

use pairwright_assign::{Criterion, Item, Measure, Outcome, Problem, Sense, Shape, Slot, Table, solve};
use std::hint::black_box;
use std::time::Instant;

const SHAPE: Shape = Shape { slots: 8, items: 100_000 };

#[path = "numbers/mix.rs"]
mod mix;

use mix::Mix;

fn table(seed: u64, tick: i64, noise: u64, slots_on_grid: bool) -> Table {
    let mut mix = Mix(seed);
    let slot_tick = if slots_on_grid { tick } else { 1 };
    let slots: Vec<i64> = (0..SHAPE.slots).map(|_| mix.below(200_000) / slot_tick * slot_tick).collect();
    let items: Vec<i64> = (0..SHAPE.items).map(|_| mix.below(300_000) / tick * tick).collect();
    Table::from_fn(SHAPE, |slot, item| {
        let value = slots[slot.index()] + items[item.index()] + mix.below(noise) * tick;
        (mix.below(50) != 0).then_some(value)
    })
    .expect("small values")
}

fn millis(problem: &Problem<'_>) -> f64 {
    let mut times: Vec<_> = (0..9)
        .map(|_| {
            let start = Instant::now();
            assert!(matches!(black_box(solve(black_box(problem))), Outcome::Proven(_)));
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    times[0].as_secs_f64() * 1e3
}

fn main() {
    let moves = Table::from_fn(SHAPE, |slot, item| Some(i64::from(slot.number() != item.number()))).expect("small");
    println!("milliseconds: spread; spread, squares, moves; the same forced, forbidden, left out, brought in");
    println!("  by other aims first: worst, squares about the mean and from a target, greatest total, greatest least");
    let rows = [
        ("grid, additive", 2540, 1, true),
        ("grid, slots between", 2540, 1, false),
        ("grid with noise", 2540, 3, true),
        ("grid, noise, between", 2540, 3, false),
        ("fine, additive", 1, 1, true),
        ("fine with noise", 1, 3000, true),
        ("tenth grid with noise", 254, 3, true),
    ];
    for (name, tick, noise, slots_on_grid) in rows {
        if std::env::args().nth(1).is_some_and(|text| !name.contains(&text)) {
            continue;
        }
        let table = table(7, tick, noise, slots_on_grid);
        let least = |table, measure| Criterion { table, measure, sense: Sense::Least, slack: 0 };
        let spread = Problem::new(vec![least(&table, Measure::Spread)], vec![]).expect("one shape");
        let chain = vec![
            least(&table, Measure::Spread),
            least(&table, Measure::SquaresAboutMean),
            least(&moves, Measure::Total),
        ];
        let chain = Problem::new(chain, vec![]).expect("one shape");
        let (slot, item) = (Slot::new(3), Item::new(4321));
        let used = solve(&chain).solution().and_then(|solution| solution.choice.item(slot)).expect("there is a choice");
        let known = "slot and item are there";
        let problems = [
            spread,
            chain.clone(),
            chain.clone().force(slot, item).expect(known),
            chain.clone().forbid(slot, used).expect(known),
            chain.clone().leave_out(used).expect(known),
            chain.bring_in(item).expect(known),
        ];
        let times = problems.each_ref().map(|problem| format!("{:>8.2}", millis(problem)));
        println!("{name:<24}{}", times.join(""));
        let first = |measure, sense| Criterion { table: &table, measure, sense, slack: 0 };
        let target = 250_000;
        let aims = [
            first(Measure::WorstFrom { target }, Sense::Least),
            first(Measure::SquaresAboutMean, Sense::Least),
            first(Measure::SquaresFrom { target }, Sense::Least),
            first(Measure::Total, Sense::Most),
            first(Measure::Least, Sense::Most),
        ];
        let times = aims.map(|aim| {
            let chain = vec![
                aim,
                least(&table, Measure::Spread),
                least(&table, Measure::SquaresAboutMean),
                least(&moves, Measure::Total),
            ];
            format!("{:>8.2}", millis(&Problem::new(chain, vec![]).expect("one shape")))
        });
        println!("{:<24}{}", "  by other aims", times.join(""));
    }
}
