//! Least worst value and least spread on large tables: `large [SLOTS ITEMS]…` solves one instance of each family, without and
//! with a proof, and says how long it took, beside the time of reading the table once; of values that add up also tables that
//! are too large to be laid out, beside the time of sorting.

use std::error::Error;
use std::fmt::Write as _;
use std::hint::black_box;
use std::io::{self, Write};
use std::time::Duration;

use pairwright_assign::{
    Additive, Criterion, Evidence, Measure, Problem, Sense, Shape, Table, check_additive, narrowest, solve,
    solve_with_proof,
};
use pairwright_bench::{Numbers, timed};
use pairwright_proof::check_proof;

const RANGE: u64 = 1_000_000;
/// Tables of more pairs are not laid out.
const LAID_OUT: usize = 1 << 25;

fn main() -> Result<(), Box<dyn Error>> {
    let numbers: Vec<usize> = std::env::args().skip(1).map(|word| word.parse()).collect::<Result<_, _>>()?;
    for shape in numbers.chunks_exact(2) {
        let shape = Shape { slots: shape[0], items: shape[1] };
        writeln!(io::stdout(), "{}", additive(shape)?)?;
        if shape.slots * shape.items > LAID_OUT {
            continue;
        }
        for family in ["uniform", "ties", "additive"] {
            let table = table(family, shape)?;
            let (reading, sum) =
                timed(|| table.slots().flat_map(|slot| table.row(slot)).fold(0_i64, |sum, v| sum.wrapping_add(*v)));
            black_box(sum);
            let mut line = format!("{family} {} x {}: reading {}", shape.slots, shape.items, millis(reading));
            for (name, measure) in [("worst", Measure::Greatest), ("spread", Measure::Spread)] {
                let criterion = Criterion { table: &table, measure, sense: Sense::Least, slack: 0 };
                let problem = Problem::new(vec![criterion], vec![])?;
                let (took, outcome) = timed(|| solve(&problem));
                let value = outcome.solution().map(|solution| solution.values[0]).ok_or("no choice")?;
                let (proving, (_, evidence)) = timed(|| solve_with_proof(&problem));
                let Evidence::Proof(proof) = evidence else { return Err("no proof".into()) };
                let best = outcome.solution().ok_or("no choice")?;
                let (checking, checked) =
                    timed(|| check_proof(&problem.statement(), &best.choice, &best.values, &proof));
                write!(
                    line,
                    ", {name} {} ({value}), with proof {} of {} levels, check {}",
                    millis(took),
                    millis(proving),
                    checked?.levels,
                    millis(checking)
                )?;
            }
            writeln!(io::stdout(), "{line}")?;
        }
    }
    Ok(())
}

fn millis(took: Duration) -> String {
    format!("{:.2} ms", took.as_secs_f64() * 1e3)
}

fn table(family: &str, shape: Shape) -> Result<Table, Box<dyn Error>> {
    let mut numbers = Numbers::new(7);
    let mut drawn = |bound: u64| i64::try_from(numbers.below(bound)).unwrap_or(0);
    let slots: Vec<i64> = (0..shape.slots).map(|_| drawn(RANGE)).collect();
    let items: Vec<i64> = (0..shape.items).map(|_| drawn(RANGE)).collect();
    Ok(Table::from_fn(shape, |slot, item| {
        Some(match family {
            "ties" => drawn(101),
            "additive" => slots[slot.index()] + items[item.index()] + drawn(RANGE / 1000),
            _ => drawn(RANGE),
        })
    })?)
}

/// Least spread of values that add up, beside the time to sort them.
fn additive(shape: Shape) -> Result<String, Box<dyn Error>> {
    let mut numbers = Numbers::new(11);
    let mut drawn =
        |count: usize| -> Vec<i64> { (0..count).map(|_| i64::try_from(numbers.below(1 << 36)).unwrap_or(0)).collect() };
    let (slots, items) = (drawn(shape.slots), drawn(shape.items));
    let (mut sorted, mut others) = (slots.clone(), items.clone());
    let (sorting, ()) = timed(|| {
        sorted.sort_unstable();
        others.sort_unstable();
    });
    let table = Additive::new(slots, items)?;
    let (took, best) = timed(|| narrowest(&table));
    let best = best.ok_or("no choice")?;
    let (checking, checked) = timed(|| check_additive(&table, &best.choice, best.spread));
    checked?;
    Ok(format!(
        "adding up {} x {}: sorting {}, spread {} ({}), check {}",
        shape.slots,
        shape.items,
        millis(sorting),
        millis(took),
        best.spread,
        millis(checking)
    ))
}
