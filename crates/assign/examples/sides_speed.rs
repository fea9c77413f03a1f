//! How long typical problems with side conditions take:
//! `cargo run --release -p pairwright-assign --example sides_speed [-- TEXT]`.
//!
//! Prints the median and the worst of 20 tables in milliseconds, tables built beforehand, and how many of them
//! ended proven, for all rows or those whose name contains TEXT. Values are slot + item + a little that is neither;
//! neighbours are the slots in a row; `k` moves count from item j in slot j; prices are 0 to 99 an item.

#![allow(clippy::allow_attributes, clippy::print_stdout, clippy::disallowed_types, reason = "it prints times")]

use pairwright_assign::sides::{SidedOutcome, SidedProblem, solve_sided};
use pairwright_assign::{
    Criterion, Item, Measure, Neighbour, Problem, Sense, Shape, Sides, Slot, Table, TotalLimit, Window,
};
use std::hint::black_box;
use std::time::Instant;

#[path = "sides/case.rs"]
mod case;

use case::Case;

impl Case {
    fn neighbours(&self, most: i64) -> Vec<Neighbour<'_>> {
        let slots: Vec<Slot> = self.values.slots().collect();
        let near = |two: &[Slot]| Neighbour { one: two[0], other: two[1], table: &self.values, most };
        slots.windows(2).map(near).collect()
    }
}

fn at_most(table: &Table, most: i128) -> TotalLimit<'_> {
    TotalLimit { table, least: None, most: Some(most) }
}

/// The name of a row, and its sides and windows.
type Kind = (&'static str, fn(&Case) -> (Sides<'_>, Vec<Window<'_>>));

fn kinds() -> Vec<Kind> {
    vec![
        ("no sides", |_| (Sides::default(), vec![])),
        ("neighbours", |case| (Sides { neighbours: case.neighbours(10_000), ..Sides::default() }, vec![])),
        ("half moves", |case| {
            let half = case.moves.shape().slots as i128 / 2;
            (Sides { totals: vec![at_most(&case.moves, half)], ..Sides::default() }, vec![])
        }),
        ("budget", |case| {
            let budget = case.prices.shape().slots as i128 * 30;
            (Sides { totals: vec![at_most(&case.prices, budget)], ..Sides::default() }, vec![])
        }),
        ("second window", |case| (Sides::default(), vec![Window { table: &case.masses, width: 3000 }])),
        ("all of them", |case| {
            let slots = case.prices.shape().slots as i128;
            let totals = vec![at_most(&case.moves, slots - 2), at_most(&case.prices, slots * 40)];
            let sides = Sides {
                neighbours: case.neighbours(20_000),
                totals,
                together: vec![vec![Item::new(0), Item::new(1)]],
                exclusive: vec![vec![Item::new(2), Item::new(3)]],
                ..Sides::default()
            };
            (sides, vec![Window { table: &case.masses, width: 8000 }])
        }),
    ]
}

fn row(name: &str, shape: Shape, kind: Kind, chain: fn(&Case) -> Vec<Criterion<'_>>) {
    let name = format!("{} x {} {name}, {}", shape.slots, shape.items, kind.0);
    if std::env::args().nth(1).is_some_and(|text| !name.contains(&text)) {
        return;
    }
    let (mut times, mut proven, mut impossible) = (Vec::new(), 0, 0);
    for seed in 1..=20 {
        let case = Case::new(shape, seed);
        let (sides, windows) = kind.1(&case);
        let problem = Problem::new(chain(&case), windows).expect("one shape");
        let sided = SidedProblem::new(problem, sides).expect("one shape");
        let start = Instant::now();
        match black_box(solve_sided(black_box(&sided))) {
            SidedOutcome::Proven(_) => proven += 1,
            SidedOutcome::Impossible(_) => impossible += 1,
            _ => {}
        }
        times.push(start.elapsed().as_secs_f64() * 1e3);
    }
    times.sort_by(f64::total_cmp);
    println!("{name:<46}{:>10.2} {:>10.2}   {proven:>2} proven, {impossible:>2} impossible", times[10], times[19]);
}

fn main() {
    println!("milliseconds, median and worst of 20 tables");
    let even: fn(&Case) -> Vec<Criterion<'_>> =
        |case| vec![Criterion { table: &case.values, measure: Measure::Spread, sense: Sense::Least, slack: 0 }];
    let usual: fn(&Case) -> Vec<Criterion<'_>> = |case| {
        let least = |table, measure| Criterion { table, measure, sense: Sense::Least, slack: 0 };
        vec![
            least(&case.values, Measure::Spread),
            least(&case.values, Measure::SquaresAboutMean),
            least(&case.moves, Measure::Total),
        ]
    };
    let squares: fn(&Case) -> Vec<Criterion<'_>> = |case| {
        vec![Criterion { table: &case.values, measure: Measure::SquaresAboutMean, sense: Sense::Least, slack: 0 }]
    };
    let cheap: fn(&Case) -> Vec<Criterion<'_>> =
        |case| vec![Criterion { table: &case.prices, measure: Measure::Total, sense: Sense::Least, slack: 0 }];
    for (slots, items) in [(8, 8), (8, 24), (12, 40)] {
        let shape = Shape { slots, items };
        for kind in kinds() {
            row("spread", shape, kind, even);
            row("spread, squares, moves", shape, kind, usual);
            row("squares", shape, kind, squares);
            row("price", shape, kind, cheap);
        }
    }
}
