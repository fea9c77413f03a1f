//! The best choices by a total, in order: `ranked make FOLDER` writes instances (a line a slot, `x` where a pair is forbidden),
//! `ranked time FOLDER COUNT` takes the best so many of each and prints a line: name, microseconds of the processor for all of
//! them (the median of nine), for the first one alone, and their totals.

use std::error::Error;
use std::fs;
use std::hint::black_box;
use std::io::{self, Write};
use std::path::Path;

use pairwright_assign::{Criterion, Measure, Problem, Sense, Shape, Table, ranked};
use pairwright_bench::{Numbers, median};
use pairwright_proof::check_choice;

const SHAPES: [(usize, usize); 5] = [(20, 20), (50, 50), (100, 100), (150, 150), (40, 120)];
const FAMILIES: [&str; 3] = ["uniform", "near-additive", "ties"];
const RUNS: usize = 9;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().collect();
    let arguments: Vec<&str> = arguments.iter().skip(1).map(String::as_str).collect();
    match arguments[..] {
        ["make", folder] => make(Path::new(folder)),
        ["time", folder, count] => time(Path::new(folder), count.parse()?),
        _ => Err("say `make FOLDER` or `time FOLDER COUNT`".into()),
    }
}

fn make(folder: &Path) -> Result<(), Box<dyn Error>> {
    for (slots, items) in SHAPES {
        for (seed, family) in (1..).zip(FAMILIES) {
            for forbidden in [0, 20] {
                let mut numbers = Numbers::new(seed * 1_000_000 + (slots * items) as u64 + forbidden);
                let text = instance(&mut numbers, family, (slots, items), forbidden);
                fs::write(folder.join(format!("{family}-{slots:03}x{items:03}-{forbidden:02}")), text)?;
            }
        }
    }
    Ok(())
}

/// Every slot keeps the item of its own number.
fn instance(numbers: &mut Numbers, family: &str, (slots, items): (usize, usize), forbidden: u64) -> String {
    let mut drawn = |count: usize| (0..count).map(|_| numbers.below(500_000)).collect::<Vec<_>>();
    let (of_slots, of_items) = (drawn(slots), drawn(items));
    let mut text = String::new();
    for (slot, a) in of_slots.into_iter().enumerate() {
        for (item, b) in of_items.iter().enumerate() {
            let value = match family {
                "uniform" => numbers.below(1_000_000),
                "ties" => numbers.below(101),
                _ => a + b + numbers.below(1001),
            };
            let is_there = slot == item || numbers.below(100) >= forbidden;
            text.push_str(&if is_there { value.to_string() } else { "x".to_owned() });
            text.push(if item + 1 < items { ' ' } else { '\n' });
        }
    }
    text
}

fn read(text: &str) -> Result<Table, Box<dyn Error>> {
    let cell = |word: &str| if word == "x" { Ok(None) } else { word.parse().map(Some) };
    let rows = text.lines().map(|row| row.split(' ').map(cell).collect::<Result<Vec<Option<i64>>, _>>());
    let rows = rows.collect::<Result<Vec<_>, _>>()?;
    let shape = Shape { slots: rows.len(), items: rows.first().map_or(0, Vec::len) };
    Ok(Table::from_cells(shape, &rows.concat())?)
}

fn time(folder: &Path, count: usize) -> Result<(), Box<dyn Error>> {
    let mut paths: Vec<_> =
        fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.path())).collect::<Result<_, _>>()?;
    paths.sort();
    for path in paths {
        let table = read(&fs::read_to_string(&path)?)?;
        let total = Criterion { table: &table, measure: Measure::Total, sense: Sense::Least, slack: 0 };
        let problem = Problem::new(vec![total], vec![])?;
        let best = |count| ranked(&problem).map(|all| all.take(count).collect::<Vec<_>>());
        let all = best(count)?;
        for found in &all {
            check_choice(&problem.statement(), &found.choice, &found.values)?;
        }
        let took = |count| median(RUNS, || drop(black_box(best(count))));
        let micros = |count| took(count).as_secs_f64() * 1e6;
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let totals: Vec<String> = all.iter().map(|found| found.values[0].to_string()).collect();
        writeln!(io::stdout(), "{name} {:.0} {:.0} {}", micros(count), micros(1), totals.join(" "))?;
    }
    Ok(())
}
