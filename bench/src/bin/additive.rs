//! Least spread of values that add up, on tables that may be too large to be laid out: `additive [SLOTS ITEMS]…` says how long one
//! instance of each shape took, beside the time of sorting its values; medians of seven calls in turns.

use std::error::Error;
use std::io::{self, Write};
use std::time::Duration;

use pairwright_assign::{Additive, Shape, check_additive, narrowest};
use pairwright_bench::{Numbers, timed};

fn main() -> Result<(), Box<dyn Error>> {
    let numbers: Vec<usize> = std::env::args().skip(1).map(|word| word.parse()).collect::<Result<_, _>>()?;
    for shape in numbers.chunks_exact(2) {
        writeln!(io::stdout(), "{}", additive(Shape { slots: shape[0], items: shape[1] })?)?;
    }
    Ok(())
}

/// Times each call is made, in turns.
const RUNS: usize = 7;

/// The median of some times.
fn middle<T>(mut times: Vec<(Duration, T)>) -> Duration {
    times.sort_by_key(|&(took, _)| took);
    times.get(times.len() / 2).map_or(Duration::ZERO, |&(took, _)| took)
}

fn millis(took: Duration) -> String {
    format!("{:.2} ms", took.as_secs_f64() * 1e3)
}

/// Least spread of values that add up, beside the time to sort them.
fn additive(shape: Shape) -> Result<String, Box<dyn Error>> {
    let mut numbers = Numbers::new(11);
    let mut drawn =
        |count: usize| -> Vec<i64> { (0..count).map(|_| i64::try_from(numbers.below(1 << 36)).unwrap_or(0)).collect() };
    let (slots, items) = (drawn(shape.slots), drawn(shape.items));
    let table = Additive::new(slots, items)?;
    let best = narrowest(&table).ok_or("no choice")?;
    let (mut sorting, mut took) = (Vec::new(), Vec::new());
    for _ in 0..RUNS {
        let (mut slots, mut items) = (table.slots().to_vec(), table.items().to_vec());
        sorting.push(timed(|| {
            slots.sort_unstable();
            items.sort_unstable();
        }));
        took.push(timed(|| narrowest(&table)));
    }
    let (sorting, took) = (middle(sorting), middle(took));
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
