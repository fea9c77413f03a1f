//! Least squares about a free mean: `squares SLOTS ITEMS ...`, pairs of numbers, prints a line for each family of values:
//! name, milliseconds of the processor for all of `solve`, for `solve_with_proof`, and for the checker's pass (medians of
//! three), and the value.

use std::error::Error;
use std::hint::black_box;
use std::io::{self, Write};
use std::time::Duration;

use pairwright_assign::{Criterion, Evidence, Measure, Outcome, Problem, Sense, Shape, Table, solve, solve_with_proof};
use pairwright_bench::{Numbers, median};
use pairwright_proof::check_proof;

const RUNS: usize = 3;

fn main() -> Result<(), Box<dyn Error>> {
    let sizes: Vec<usize> = std::env::args().skip(1).map(|size| size.parse()).collect::<Result<_, _>>()?;
    for size in sizes.chunks_exact(2) {
        let shape = Shape { slots: size[0], items: size[1] };
        for family in ["uniform", "near-additive", "ties"] {
            let table = table(family, shape)?;
            writeln!(io::stdout(), "{family} {} x {}: {}", shape.slots, shape.items, line(&table)?)?;
        }
    }
    Ok(())
}

fn table(family: &str, shape: Shape) -> Result<Table, Box<dyn Error>> {
    let mut numbers = Numbers::new((shape.slots * shape.items + family.len()) as u64);
    let mut drawn = |count: usize| (0..count).map(|_| numbers.below(500_000)).collect::<Vec<_>>();
    let (of_slots, of_items) = (drawn(shape.slots), drawn(shape.items));
    Ok(Table::from_fn(shape, |slot, item| {
        let value = match family {
            "uniform" => numbers.below(1_000_000),
            "ties" => numbers.below(101),
            _ => of_slots[slot.index()] + of_items[item.index()] + numbers.below(1001),
        };
        i64::try_from(value).ok()
    })?)
}

fn line(table: &Table) -> Result<String, Box<dyn Error>> {
    let squares = Criterion { table, measure: Measure::SquaresAboutMean, sense: Sense::Least, slack: 0 };
    let problem = Problem::new(vec![squares], vec![])?;
    let Outcome::Proven(best) = solve(&problem) else {
        return Err("not proven".into());
    };
    let (_, Evidence::Proof(proof)) = solve_with_proof(&problem) else {
        return Err("no proof".into());
    };
    let levels = check_proof(&problem.statement(), &best.choice, &best.values, &proof)?.levels;
    let millis = |took: Duration| took.as_secs_f64() * 1e3;
    let plain = median(RUNS, || drop(black_box(solve(&problem))));
    let with_proof = median(RUNS, || drop(black_box(solve_with_proof(&problem))));
    let check = median(RUNS, || drop(black_box(check_proof(&problem.statement(), &best.choice, &best.values, &proof))));
    Ok(format!(
        "{:.2} ms, with proof {:.2} ms, check of {levels} levels {:.2} ms, value {}",
        millis(plain),
        millis(with_proof),
        millis(check),
        best.values[0]
    ))
}
