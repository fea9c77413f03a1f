//! Least worst value and least spread on large tables: `large [SLOTS ITEMS]…` solves one instance of each family and says
//! how long it took, beside the time of reading the table once.

use std::error::Error;
use std::hint::black_box;
use std::io::{self, Write};
use std::time::Duration;

use pairwright_assign::{Criterion, Measure, Problem, Sense, Shape, Table, solve};
use pairwright_bench::{Numbers, timed};

const RANGE: u64 = 1_000_000;

fn main() -> Result<(), Box<dyn Error>> {
    let numbers: Vec<usize> = std::env::args().skip(1).map(|word| word.parse()).collect::<Result<_, _>>()?;
    for shape in numbers.chunks_exact(2) {
        let shape = Shape { slots: shape[0], items: shape[1] };
        let only = std::env::var("ONLY").unwrap_or_default();
        for family in
            ["uniform", "ties", "additive"].into_iter().filter(|family| only.is_empty() || only.contains(family))
        {
            let table = table(family, shape)?;
            let (reading, sum) =
                timed(|| table.slots().flat_map(|slot| table.row(slot)).fold(0_i64, |sum, v| sum.wrapping_add(*v)));
            black_box(sum);
            let mut line = format!("{family} {} x {}: reading {}", shape.slots, shape.items, millis(reading));
            for (name, measure) in [("worst", Measure::Greatest), ("spread", Measure::Spread)]
                .into_iter()
                .filter(|(name, _)| !only.contains("no-") || !only.contains(name))
            {
                let criterion = Criterion { table: &table, measure, sense: Sense::Least, slack: 0 };
                let problem = Problem::new(vec![criterion], vec![])?;
                let (took, outcome) = timed(|| solve(&problem));
                let value = outcome.solution().map(|solution| solution.values[0]).ok_or("no choice")?;
                line += &format!(", {name} {} ({value})", millis(took));
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
