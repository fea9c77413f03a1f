//! Least total: `sum make FOLDER` writes instances as `.npy` (int32, C order, `i32::MIN` where a pair is forbidden), `sum time
//! FOLDER [WORD]` solves those whose name has the word, and says in a line of JSON each what it took in nanoseconds of the
//! processor: the best value alone, with one choice and prices; the checker's pass over them; all of `solve` (the order of
//! ties included) and of `solve_with_proof` where there are no more than so many pairs; and the crates `pathfinding` and
//! `lapjv` in process, likewise. `null` where that was not run. Reading a table is apart.

use std::error::Error;
use std::fs;
use std::hint::black_box;
use std::io::{self, Write};
use std::path::Path;
use std::time::Duration;

use pairwright_assign::{Criterion, Measure, Problem, Sense, Shape, Table, any_best, solve, solve_with_proof};
use pairwright_bench::{Numbers, median};
use pairwright_proof::check_proof;
use pathfinding::prelude::{Matrix, kuhn_munkres_min};

const SQUARE: [usize; 8] = [8, 16, 50, 100, 500, 1000, 2000, 4000];
const OBLONG: [(usize, usize); 4] = [(50, 200), (250, 1000), (1000, 4000), (2000, 2200)];
const FAMILIES: [&str; 5] = ["uniform", "ties", "squares", "geometric", "additive"];
const RUNS: usize = 5;
/// Pairs up to which the order of ties is found out, and up to which the peers in process are bearable.
const ORDERED: usize = 250_000;
const BEARABLE: usize = 250_000;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().collect();
    let arguments: Vec<&str> = arguments.iter().skip(1).map(String::as_str).collect();
    match arguments[..] {
        ["make", folder] => make(Path::new(folder)),
        ["time", folder] => time(Path::new(folder), ""),
        ["time", folder, word] => time(Path::new(folder), word),
        _ => Err("say `make FOLDER` or `time FOLDER [WORD]`".into()),
    }
}

fn make(folder: &Path) -> Result<(), Box<dyn Error>> {
    let shapes = SQUARE.into_iter().map(|size| (size, size)).chain(OBLONG);
    for (slots, items) in shapes {
        for (seed, family) in (1..).zip(FAMILIES) {
            for forbidden in [0, 20] {
                let mut numbers = Numbers::new(seed * 1_000_000 + (slots * items) as u64 + forbidden);
                let cells = cells(&mut numbers, family, (slots, items), forbidden);
                let name = format!("{family}-{slots:04}x{items:04}-{forbidden:02}.npy");
                fs::write(folder.join(name), npy(slots, items, &cells))?;
            }
        }
    }
    Ok(())
}

/// Values row by row; every slot keeps the item of its own number.
fn cells(numbers: &mut Numbers, family: &str, (slots, items): (usize, usize), forbidden: u64) -> Vec<i32> {
    let mut drawn = |bound: u64| i64::try_from(numbers.below(bound)).unwrap_or(0);
    let mut points = |count: usize| (0..count).map(|_| [drawn(1_000_000), drawn(1_000_000)]).collect::<Vec<_>>();
    let (of_slots, of_items) = (points(slots), points(items));
    let mut cells = Vec::with_capacity(slots * items);
    for (slot, [a, b]) in of_slots.into_iter().enumerate() {
        for (item, &[c, d]) in of_items.iter().enumerate() {
            let value = match family {
                "uniform" => drawn(1_000_000),
                "ties" => drawn(101),
                "squares" => ((a - c) / 32).pow(2),
                "geometric" => ((a - c).pow(2) + (b - d).pow(2)).isqrt(),
                _ => (a + c) / 10 + drawn(1001) - 500,
            };
            let is_there = slot == item || drawn(100) >= i64::try_from(forbidden).unwrap_or(0);
            cells.push(if is_there { i32::try_from(value).unwrap_or(i32::MAX) } else { i32::MIN });
        }
    }
    cells
}

fn npy(slots: usize, items: usize, cells: &[i32]) -> Vec<u8> {
    let mut header = format!("{{'descr': '<i4', 'fortran_order': False, 'shape': ({slots}, {items}), }}");
    while (10 + header.len() + 1) % 64 != 0 {
        header.push(' ');
    }
    header.push('\n');
    let mut bytes = b"\x93NUMPY\x01\x00".to_vec();
    bytes.extend(u16::try_from(header.len()).unwrap_or(0).to_le_bytes());
    bytes.extend(header.as_bytes());
    bytes.extend(cells.iter().flat_map(|cell| cell.to_le_bytes()));
    bytes
}

/// A table as [`npy`] writes it.
fn read(path: &Path) -> Result<Table, Box<dyn Error>> {
    let bytes = fs::read(path)?;
    let (head, rest) = bytes.split_at_checked(10).ok_or("no header")?;
    let (header, cells) = rest.split_at_checked(u16::from_le_bytes([head[8], head[9]]).into()).ok_or("no header")?;
    let header = std::str::from_utf8(header)?;
    let shape = header.split_once("'shape': (").and_then(|(_, shape)| shape.split_once(')')).ok_or("no shape")?.0;
    let sizes: Vec<usize> = shape.split(", ").map(str::parse).collect::<Result<_, _>>()?;
    let [slots, items] = sizes[..] else { return Err("not two sizes".into()) };
    let mut cells = cells.as_chunks::<4>().0.iter().map(|&cell| i32::from_le_bytes(cell));
    let value = |cell: i32| (cell != i32::MIN).then_some(i64::from(cell));
    Ok(Table::from_fn(Shape { slots, items }, |_, _| cells.next().and_then(value))?)
}

fn time(folder: &Path, word: &str) -> Result<(), Box<dyn Error>> {
    let mut paths: Vec<_> =
        fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.path())).collect::<Result<_, _>>()?;
    paths.retain(|path| path.extension().is_some_and(|end| end == "npy") && path.to_string_lossy().contains(word));
    paths.sort();
    for path in paths {
        let name = path.file_stem().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        writeln!(io::stdout(), "{}", line(&name, &read(&path)?)?)?;
    }
    Ok(())
}

fn line(name: &str, table: &Table) -> Result<String, Box<dyn Error>> {
    let total = Criterion { table, measure: Measure::Total, sense: Sense::Least, slack: 0 };
    let problem = Problem::new(vec![total], vec![])?;
    let Shape { slots, items } = table.shape();
    let best = any_best(&problem).ok_or("no choice")?;
    let (value, proof) = (best.value, best.proof());
    check_proof(&problem.statement(), &best.choice, &[value], &proof)?;
    let any = median(RUNS, || drop(black_box(any_best(&problem))));
    let check = median(RUNS, || drop(black_box(check_proof(&problem.statement(), &best.choice, &[value], &proof))));
    let ordered = slots * items <= ORDERED;
    let whole = ordered.then(|| median(RUNS, || drop(black_box(solve(&problem)))));
    let proven = ordered.then(|| median(RUNS, || drop(black_box(solve_with_proof(&problem)))));
    let bearable = slots * items <= BEARABLE;
    let kuhn = bearable.then(|| by_kuhn(table, value)).transpose()?;
    let is_full = table.slots().all(|slot| !table.row(slot).contains(&Table::FORBIDDEN));
    let jonker = (bearable && slots == items && is_full).then(|| by_jonker(table, value)).transpose()?;
    let nanos = |took: Option<Duration>| took.map_or("null".to_owned(), |took| took.as_nanos().to_string());
    Ok(format!(
        "{{\"name\": \"{name}\", \"slots\": {slots}, \"items\": {items}, \"value\": {value}, \"ours_ns\": {}, \"check_ns\": {}, \
         \"solve_ns\": {}, \"solve_with_proof_ns\": {}, \"pathfinding_ns\": {}, \"lapjv_ns\": {}}}",
        any.as_nanos(),
        check.as_nanos(),
        nanos(whole),
        nanos(proven),
        nanos(kuhn),
        nanos(jonker),
    ))
}

/// The crate `pathfinding`, forbidden pairs dearer than all others together.
fn by_kuhn(table: &Table, value: i128) -> Result<Duration, Box<dyn Error>> {
    let cells = table.slots().flat_map(|slot| table.row(slot));
    let costs = cells.map(|&value| if value == Table::FORBIDDEN { 1 << 45 } else { value }).collect();
    let matrix = Matrix::from_vec(table.shape().slots, table.shape().items, costs)?;
    if i128::from(kuhn_munkres_min(&matrix).0) != value {
        return Err("`pathfinding` has another value".into());
    }
    Ok(median(RUNS, || drop(black_box(kuhn_munkres_min(&matrix)))))
}

/// The crate `lapjv`, in floats that hold these values exactly.
fn by_jonker(table: &Table, value: i128) -> Result<Duration, Box<dyn Error>> {
    let Shape { slots, items } = table.shape();
    let costs = table.slots().flat_map(|slot| table.row(slot)).map(|&value| value as f64).collect();
    let matrix = lapjv::Matrix::from_shape_vec((slots, items), costs)?;
    let (choice, _) = lapjv::lapjv(&matrix).map_err(|error| format!("{error:?}"))?;
    let found = table.slots().zip(&choice).map(|(slot, &item)| i128::from(table.row(slot)[item])).sum::<i128>();
    if found != value {
        return Err("`lapjv` has another value".into());
    }
    Ok(median(RUNS, || drop(black_box(lapjv::lapjv(&matrix)))))
}
