//! How long typical problems take: `cargo run --release -p pairwright-assign --example speed [-- TEXT]`.
//!
//! Prints the median and the worst table of many solves in microseconds, tables built beforehand, for all
//! rows or those whose name contains TEXT. Additive tables are slot + item + a little that is neither; coarse ones
//! are multiples of a tick of a typical reading.

#![allow(clippy::allow_attributes, clippy::print_stdout, clippy::disallowed_types, reason = "it prints times")]

use pairwright_assign::{Criterion, Item, Measure, Problem, Sense, Shape, Slot, Table, solve};
use std::hint::black_box;
use std::time::Instant;

#[path = "numbers/mix.rs"]
mod mix;

use mix::Mix;

fn additive(shape: Shape, seed: u64, noise: u64, tick: i64) -> Table {
    let mut mix = Mix(seed);
    let mut sizes = |count| (0..count).map(|_| mix.below(200_000)).collect::<Vec<_>>();
    let (slots, items) = (sizes(shape.slots), sizes(shape.items));
    let value = |slot: Slot, item: Item| slots[slot.index()] + items[item.index()] + mix.below(noise);
    let mut value = value;
    Table::from_fn(shape, |slot, item| Some(value(slot, item) / tick * tick)).expect("small values")
}

fn uniform(shape: Shape, seed: u64) -> Table {
    let mut mix = Mix(seed);
    Table::from_fn(shape, |_, _| Some(mix.below(1_000_000))).expect("small values")
}

fn moves(shape: Shape) -> Table {
    Table::from_fn(shape, |slot, item| Some(i64::from(slot.number() != item.number()))).expect("small values")
}

fn micros(problem: &Problem<'_>, rounds: usize) -> f64 {
    let mut times: Vec<_> = (0..rounds)
        .map(|_| {
            let start = Instant::now();
            black_box(solve(black_box(problem)));
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    times[rounds / 2].as_secs_f64() * 1e6
}

fn row(name: &str, shape: Shape, make: &dyn Fn(u64) -> Table, rounds: usize) {
    if std::env::args().nth(1).is_some_and(|text| !name.contains(&text)) {
        return;
    }
    let moves = moves(shape);
    let seeds = if rounds > 20 { 9 } else { 1 };
    let mut columns = [const { Vec::new() }; 5];
    for seed in 1..=seeds {
        let table = make(seed);
        let least = |table, measure| Criterion { table, measure, sense: Sense::Least, slack: 0 };
        let chains = [
            vec![least(&table, Measure::Spread)],
            vec![
                least(&table, Measure::Spread),
                least(&table, Measure::SquaresAboutMean),
                least(&moves, Measure::Total),
            ],
            vec![least(&table, Measure::SquaresAboutMean)],
            vec![least(&table, Measure::WorstFrom { target: 200_000 }), least(&table, Measure::Spread)],
            vec![least(&table, Measure::Total)],
        ];
        for (column, chain) in columns.iter_mut().zip(chains) {
            column.push(micros(&Problem::new(chain, vec![]).expect("one shape"), rounds));
        }
    }
    let text = columns.map(|mut times| {
        times.sort_by(f64::total_cmp);
        format!("{:>9.1} {:>9.1}", times[times.len() / 2], times[times.len() - 1])
    });
    println!("{name:<22}{}", text.join("  "));
}

fn main() {
    println!("microseconds, median and worst of the tables");
    println!(
        "{:<22}{:>19}  {:>19}  {:>19}  {:>19}  {:>19}",
        "", "spread", "spread,squares,moves", "squares", "worst,spread", "total"
    );
    for (slots, items, rounds) in [
        (8, 8, 201),
        (8, 11, 201),
        (8, 24, 201),
        (16, 16, 101),
        (30, 30, 51),
        (40, 200, 21),
        (40, 1000, 5),
        (100, 100, 5),
        (200, 200, 3),
        (8, 100_000, 3),
    ] {
        let shape = Shape { slots, items };
        row(&format!("{slots} x {items} near-additive"), shape, &|seed| additive(shape, seed, 3000, 1), rounds);
        row(&format!("{slots} x {items} additive, coarse"), shape, &|seed| additive(shape, seed, 1, 12_700), rounds);
        row(&format!("{slots} x {items} uniform"), shape, &|seed| uniform(shape, seed), rounds);
    }
}
