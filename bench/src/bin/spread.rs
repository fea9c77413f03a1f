//! Least spread on small tables: `spread make FOLDER` writes instances, `spread time FOLDER` solves them and says how long
//! it took, without and with a proof that the checker accepts. `bench/spread.py` sets a general solver beside it on
//! the same files.
//!
//! A file holds a row a slot, a value an item, `x` where the pair is forbidden.

use std::error::Error;
use std::fs;
use std::hint::black_box;
use std::io::{self, Write};
use std::path::Path;

use pairwright_assign::{Criterion, Evidence, Measure, Outcome, Problem, Sense, Shape, Table, solve, solve_with_proof};
use pairwright_bench::{Numbers, median, timed};
use pairwright_proof::check_proof;

const SIZES: [usize; 6] = [8, 12, 16, 24, 30, 40];
const RANGE: u64 = 100_000;
/// How far values are from adding up in the nearly additive tables, on either side.
const NOISE: i64 = 500;
const RUNS: usize = 9;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().collect();
    match arguments.get(1..).unwrap_or_default() {
        [verb, folder] if verb == "make" => make(Path::new(folder)),
        [verb, folder] if verb == "time" => time(Path::new(folder)),
        _ => Err("say `make FOLDER` or `time FOLDER`".into()),
    }
}

fn make(folder: &Path) -> Result<(), Box<dyn Error>> {
    let mut numbers = Numbers::new(1984);
    for slots in SIZES {
        for items in [slots, 3 * slots] {
            for kind in ["uniform", "additive"] {
                for forbidden in [0, 20] {
                    let name = format!("{kind}-{slots:02}x{items:03}-{forbidden:02}");
                    fs::write(folder.join(name), text(&mut numbers, (slots, items), kind, forbidden))?;
                }
            }
        }
    }
    Ok(())
}

fn text(numbers: &mut Numbers, (slots, items): (usize, usize), kind: &str, forbidden: u64) -> String {
    let mut drawn = |bound: u64| i64::try_from(numbers.below(bound)).unwrap_or(0);
    let of_slots: Vec<i64> = (0..slots).map(|_| drawn(RANGE)).collect();
    let of_items: Vec<i64> = (0..items).map(|_| drawn(RANGE)).collect();
    let mut text = String::new();
    for slot in of_slots {
        let mut row = Vec::new();
        for item in &of_items {
            let noise = drawn(2 * NOISE.unsigned_abs() + 1) - NOISE;
            let value = if kind == "additive" { slot + item + noise } else { drawn(RANGE) };
            row.push(if drawn(100) < i64::try_from(forbidden).unwrap_or(0) {
                "x".to_owned()
            } else {
                value.to_string()
            });
        }
        text.push_str(&row.join(" "));
        text.push('\n');
    }
    text
}

fn read(path: &Path) -> Result<Table, Box<dyn Error>> {
    let mut cells = Vec::new();
    let text = fs::read_to_string(path)?;
    for word in text.split_whitespace() {
        cells.push(if word == "x" { None } else { Some(word.parse()?) });
    }
    let slots = text.lines().count();
    Ok(Table::from_cells(Shape { slots, items: cells.len() / slots.max(1) }, &cells)?)
}

/// A line an instance: name, microseconds to solve, to solve with a proof, to check it, the spread.
fn time(folder: &Path) -> Result<(), Box<dyn Error>> {
    let mut paths: Vec<_> =
        fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.path())).collect::<Result<_, _>>()?;
    paths.sort();
    for path in paths {
        let table = read(&path)?;
        let even = Criterion { table: &table, measure: Measure::Spread, sense: Sense::Least, slack: 0 };
        let problem = Problem::new(vec![even], vec![])?;
        let (Outcome::Proven(best), Evidence::Proof(proof)) = solve_with_proof(&problem) else {
            return Err(format!("{} has no choice", path.display()).into());
        };
        let (checking, checked) = timed(|| check_proof(&problem.statement(), &best.choice, &best.values, &proof));
        if checked?.levels != 1 {
            return Err(format!("{} has no proof", path.display()).into());
        }
        let plain = median(RUNS, || drop(black_box(solve(&problem))));
        let with_proof = median(RUNS, || drop(black_box(solve_with_proof(&problem))));
        let micros = [plain, with_proof, checking].map(|took| format!("{:.1}", took.as_secs_f64() * 1e6));
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        writeln!(io::stdout(), "{name} {} {}", micros.join(" "), best.values[0])?;
    }
    Ok(())
}
