//! What proofs cost: `cargo run --release -p pairwright-assign --example proofs`.
//!
//! For the chain spread, squares about the mean, moves and for each criterion alone: milliseconds to solve, to solve and
//! prove, and to check; levels proven; kilobytes of text. The least time of three; tables built beforehand.

#![allow(clippy::allow_attributes, clippy::print_stdout, clippy::disallowed_types, reason = "it prints times")]

use pairwright_assign::{Criterion, Evidence, Measure, Problem, Sense, Shape, Table, solve, solve_with_proof};
use pairwright_proof::{check_proof, write_proof};
use std::hint::black_box;
use std::time::Instant;

#[path = "numbers/mix.rs"]
mod mix;

use mix::Mix;

fn table(shape: Shape, tick: i64, noise: u64) -> Table {
    let mut mix = Mix(3);
    let mut sizes = |count| (0..count).map(|_| mix.below(200_000)).collect::<Vec<_>>();
    let (slots, items) = (sizes(shape.slots), sizes(shape.items));
    Table::from_fn(shape, |slot, item| {
        Some((slots[slot.index()] + items[item.index()] + mix.below(noise)) / tick * tick)
    })
    .expect("small values")
}

fn millis<T>(mut call: impl FnMut() -> T) -> f64 {
    let times = (0..3).map(|_| {
        let start = Instant::now();
        black_box(call());
        start.elapsed()
    });
    times.min().map_or(0.0, |time| time.as_secs_f64() * 1e3)
}

fn row(name: &str, problem: &Problem<'_>) {
    let (outcome, evidence) = solve_with_proof(problem);
    let (Some(solution), Evidence::Proof(proof)) = (outcome.solution(), evidence) else {
        println!("{name:<40} no choice");
        return;
    };
    let check = || check_proof(&problem.statement(), &solution.choice, &solution.values, &proof);
    assert_eq!(check().map(|checked| checked.levels), Ok(proof.levels.len()));
    let times = [millis(|| solve(problem)), millis(|| solve_with_proof(problem)), millis(check)];
    println!(
        "{name:<40}{}{:>5} of {}{:>9.1} kB",
        times.map(|time| format!("{time:>10.3}")).join(""),
        proof.levels.len(),
        problem.criteria().len(),
        write_proof(&proof).len() as f64 / 1e3
    );
}

fn main() {
    println!("{:<40}{:>10}{:>10}{:>10}", "milliseconds to", "solve", "and prove", "check");
    for (slots, items, tick, noise) in [
        (8, 8, 1, 3000),
        (8, 24, 1, 3000),
        (8, 24, 12_700, 1),
        (16, 16, 1, 3000),
        (40, 200, 1, 3000),
        (40, 1000, 1, 3000),
        (40, 1000, 1, 1_000_000),
        (8, 100_000, 1, 3000),
        (8, 100_000, 2540, 1),
        (8, 100_000, 2540, 8000),
    ] {
        let table = table(Shape { slots, items }, tick, noise);
        let moves = Table::from_fn(table.shape(), |slot, item| Some(i64::from(slot.number() != item.number())));
        let moves = moves.expect("small values");
        let least = |table, measure| Criterion { table, measure, sense: Sense::Least, slack: 0 };
        let chains = [
            (
                "chain",
                vec![
                    least(&table, Measure::Spread),
                    least(&table, Measure::SquaresAboutMean),
                    least(&moves, Measure::Total),
                ],
            ),
            ("spread", vec![least(&table, Measure::Spread)]),
            ("squares", vec![least(&table, Measure::SquaresAboutMean)]),
            ("worst", vec![least(&table, Measure::WorstFrom { target: 200_000 })]),
            ("total", vec![least(&table, Measure::Total)]),
        ];
        for (kind, chain) in chains {
            if kind == "squares" && items > 1000 {
                continue;
            }
            let name = format!("{slots} x {items}, tick {tick}, noise {noise}: {kind}");
            row(&name, &Problem::new(chain, vec![]).expect("one shape"));
        }
    }
}
