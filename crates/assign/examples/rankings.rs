//! What the next best choices cost: `cargo run --release -p pairwright-assign --example rankings`.
//!
//! Milliseconds for the best 100 choices, the least of three runs; tables built beforehand.

#![allow(clippy::allow_attributes, clippy::print_stdout, clippy::disallowed_types, reason = "it prints times")]

use pairwright_assign::{Criterion, Measure, Problem, Sense, Shape, Table, ranked};
use std::hint::black_box;
use std::time::Instant;

fn main() {
    println!("{:<28}{:>12}{:>12}{:>12}", "best 100, milliseconds", "total", "spread", "worst");
    for (slots, items) in [(8, 8), (8, 24), (16, 16), (40, 200), (100, 100)] {
        let mut state = 5_u64;
        let table = Table::from_fn(Shape { slots, items }, |_, _| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            i64::try_from((state >> 33) % 1_000_000).ok()
        })
        .expect("small values");
        let times = [Measure::Total, Measure::Spread, Measure::Greatest].map(|measure| {
            let criterion = Criterion { table: &table, measure, sense: Sense::Least, slack: 0 };
            let problem = Problem::new(vec![criterion], vec![]).expect("one table");
            let times = (0..3).map(|_| {
                let start = Instant::now();
                black_box(ranked(&problem).expect("exact").take(100).count());
                start.elapsed()
            });
            times.min().map_or(0.0, |time| time.as_secs_f64() * 1e3)
        });
        println!("{:<28}{}", format!("{slots} x {items} uniform"), times.map(|time| format!("{time:>12.2}")).join(""));
    }
}
