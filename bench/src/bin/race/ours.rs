//! Ours: what each method takes on a table, and what memory beside it.

use std::error::Error;
use std::fs;
use std::hint::black_box;
use std::time::Duration;

use pairwright_assign::{
    Criterion, Evidence, Measure, Outcome, Problem, Sense, Shape, Table, any_best, solve, solve_with_proof,
};
use pairwright_bench::{median, timed};
use pairwright_proof::check_proof;

const RUNS: usize = 5;
const LONG: Duration = Duration::from_millis(100);
/// Pairs up to which the order of equally good totals is found out, and up to which spreads are asked for.
const ORDERED: usize = 250_000;
const SPREAD: usize = 1 << 22;

/// What was measured, in nanoseconds.
pub(crate) type Figures = Vec<(&'static str, u128)>;

/// The median of a few calls; the quicker of two where one takes long.
pub(crate) fn nanos(mut call: impl FnMut()) -> u128 {
    let first = timed(&mut call).0;
    if first > LONG { timed(call).0.min(first).as_nanos() } else { median(RUNS, call).as_nanos() }
}

fn least(table: &Table, measure: Measure) -> Criterion<'_> {
    Criterion { table, measure, sense: Sense::Least, slack: 0 }
}

fn pairs(table: &Table) -> usize {
    let Shape { slots, items } = table.shape();
    slots * items
}

/// Reads every value once.
fn look(table: &Table) -> i64 {
    table.slots().flat_map(|slot| table.row(slot)).fold(0_i64, |sum, value| sum.wrapping_add(*value))
}

/// The least total and what it took: the best value alone, with one choice and its prices; the checker's pass over them; all of
/// `solve` (the order of ties included) and of `solve_with_proof`.
pub(crate) fn totals(table: &Table) -> Result<(i128, Figures), Box<dyn Error>> {
    let problem = Problem::new(vec![least(table, Measure::Total)], vec![])?;
    let best = any_best(&problem).ok_or("no choice")?;
    let (value, proof) = (best.value, best.proof());
    check_proof(&problem.statement(), &best.choice, &[value], &proof)?;
    let check = || check_proof(&problem.statement(), &best.choice, &[value], &proof);
    let mut figures = vec![
        ("reading_ns", nanos(|| _ = black_box(look(table)))),
        ("ours_ns", nanos(|| drop(black_box(any_best(&problem))))),
        ("check_ns", nanos(|| drop(black_box(check())))),
    ];
    if pairs(table) <= ORDERED {
        figures.push(("solve_ns", nanos(|| drop(black_box(solve(&problem))))));
        figures.push(("solve_with_proof_ns", nanos(|| drop(black_box(solve_with_proof(&problem))))));
    }
    Ok((value, figures))
}

/// The least worst value and the least spread, the order of equally good choices included; the spread's proof, too.
pub(crate) fn ends(table: &Table) -> Result<Figures, Box<dyn Error>> {
    let worst = Problem::new(vec![least(table, Measure::Greatest)], vec![])?;
    let spread = Problem::new(vec![least(table, Measure::Spread)], vec![])?;
    let mut figures = vec![("worst_ns", nanos(|| drop(black_box(solve(&worst)))))];
    if pairs(table) > SPREAD {
        return Ok(figures);
    }
    let (Outcome::Proven(best), Evidence::Proof(proof)) = solve_with_proof(&spread) else {
        return Err("a least spread without a proof".into());
    };
    let check = || check_proof(&spread.statement(), &best.choice, &best.values, &proof);
    if check()?.levels != 1 {
        return Err("a least spread that is not proven".into());
    }
    figures.push(("spread_ns", nanos(|| drop(black_box(solve(&spread))))));
    figures.push(("spread_with_proof_ns", nanos(|| drop(black_box(solve_with_proof(&spread))))));
    figures.push(("spread_check_ns", nanos(|| drop(black_box(check())))));
    Ok(figures)
}

/// Bytes of a table's values, and how much higher the memory of this process stood at its highest while a method ran than before.
pub(crate) fn memory(table: &Table, method: &str) -> Result<(usize, usize), Box<dyn Error>> {
    let measure = match method {
        "total" => Measure::Total,
        "worst" => Measure::Greatest,
        "spread" => Measure::Spread,
        _ => return Err("say `total`, `worst` or `spread`".into()),
    };
    let problem = Problem::new(vec![least(table, measure)], vec![])?;
    black_box(look(table));
    fs::write("/proc/self/clear_refs", "5")?;
    let before = status("VmRSS:")?;
    if method == "total" {
        drop(black_box(any_best(&problem)));
    } else {
        drop(black_box(solve(&problem)));
    }
    Ok((8 * pairs(table), status("VmHWM:")?.saturating_sub(before)))
}

/// A line of this process's status, in bytes.
fn status(name: &str) -> Result<usize, Box<dyn Error>> {
    let all = fs::read_to_string("/proc/self/status")?;
    let line = all.lines().find_map(|line| line.strip_prefix(name)).ok_or("no such line")?;
    let kibibytes: usize = line.trim().trim_end_matches("kB").trim().parse()?;
    Ok(1024 * kibibytes)
}
