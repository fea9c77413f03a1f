//! Least spread on 8 × 24 tables: median time of a solve, over fifty tables.

use std::hint::black_box;
use std::io::{self, Write};

use pairwright_assign::{Outcome, Problem, solve};
use pairwright_bench::{Numbers, median};
use pairwright_proof::{Criterion, Measure, Sense, Shape, Table, TableError};

const SHAPE: Shape = Shape { slots: 8, items: 24 };

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut numbers = Numbers::new(8);
    let mut medians = Vec::new();
    for _ in 0..50 {
        let table = additive(&mut numbers)?;
        let aim = Criterion { table: &table, measure: Measure::Spread, sense: Sense::Least, slack: 0 };
        let problem = Problem::new(vec![aim], Vec::new())?;
        if !matches!(solve(&problem), Outcome::Proven(_)) {
            return Err("a table without a proven answer".into());
        }
        medians.push(median(200, || drop(black_box(solve(black_box(&problem))))));
    }
    medians.sort_unstable();
    let micros = |at: usize| medians[at].as_secs_f64() * 1e6;
    writeln!(io::stdout(), "least spread, 8 x 24: median {:.1} us, slowest table {:.1} us", micros(25), micros(49))?;
    Ok(())
}

/// Part effect plus position effect in ticks of 1 nm, within ±0.008 in of each other.
fn additive(numbers: &mut Numbers) -> Result<Table, TableError> {
    let mut effect = || i64::try_from(numbers.below(406_400)).unwrap_or(0) - 203_200;
    let slots: Vec<i64> = (0..SHAPE.slots).map(|_| effect()).collect();
    let items: Vec<i64> = (0..SHAPE.items).map(|_| effect()).collect();
    Table::from_fn(SHAPE, |slot, item| Some(slots[slot.index()] + items[item.index()]))
}
