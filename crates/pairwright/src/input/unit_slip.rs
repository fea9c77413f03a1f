//! A column in another unit than its header says, told by the other columns of a declared fit.
//!
//! Columns of the user's own have no usual range. But a gap is what is left of sizes that nearly cancel: where they do not, and would if one
//! column were read in millimetres instead of inches or the other way round, that column's unit is doubtful. Sums that are
//! no gap (a spring's height, a pushrod's length) do not cancel in any unit, and sums that cancel as they are say nothing.

use pairwright_engine::job::{Column, Term};
use pairwright_engine::quantity::{Amount, Dimension};

use crate::diagnostic::{Code, Diagnostic};

use super::grid::Grid;
use super::load::Reading;
use super::resolve::Names;

/// A sum within this share of its largest term is a gap, as it stands.
const GAP: f64 = 0.1;
/// With the other unit it has to be within this share.
const CLOSE: f64 = 0.01;
/// Millimetres of an inch.
const INCH: f64 = 25.4;

/// Notes columns that make gaps of declared fits only in another unit; each column once.
pub(super) fn note(names: &Names<'_>, reading: &mut Reading) {
    let mut said: Vec<Vec<String>> = Vec::new();
    let fits = &names.draft.declared.fits;
    let lengths = fits.all().filter_map(|fit| fits.get(fit)).filter(|fit| fit.dimension == Dimension::Length);
    for fit in lengths {
        let columns = columns(names, &fit.terms);
        let Some(columns) = columns.filter(|columns| columns.len() > 1) else { continue };
        let (gap, largest) = sum(&columns, None);
        if gap <= GAP * largest {
            continue;
        }
        let would = |by: f64| {
            let columns = &columns;
            let closes = move |at: &usize| {
                let (gap, largest) = sum(columns, Some((*at, by)));
                gap <= CLOSE * largest
            };
            (0..columns.len()).filter(closes).map(move |at| (at, by))
        };
        let found: Vec<(usize, f64)> = would(INCH).chain(would(INCH.recip())).collect();
        // Of two columns that are nearly all of the sum either may be the wrong one.
        let (Some(&(first, by)), true) = (found.first(), found.len() <= 2) else { continue };
        let named: Vec<String> =
            found.iter().map(|&(at, _)| format!("{}.{}", columns[at].owner, columns[at].name)).collect();
        if said.contains(&named) {
            continue;
        }
        let message = match named.as_slice() {
            [one, two] => format!(
                "{}: `{one}` and `{two}` do not go together; with one of them in another unit they would",
                fit.name
            ),
            _ => format!(
                "{}: `{}` does not go with the rest of the sum; read in {} it would",
                fit.name,
                named.concat(),
                other(by)
            ),
        };
        let mut item = Diagnostic::warning(Code::NoteUnit, message);
        for &(at, _) in &found {
            let column = &columns[at];
            let Some((row, value)) = column.first() else { continue };
            item = item.at(column.grid.place(row, &column.name), format!("found {value}"));
        }
        let name = &columns[first].name;
        let header = if by < 1.0 { "_mm" } else { "_in" };
        let help = if named.len() == 1 {
            format!(
                "if these are {}, write the unit into the header: `{name}{header}`; else nothing follows",
                other(by)
            )
        } else {
            "check the units in both headers; if they are right, nothing follows".to_owned()
        };
        reading.found.push(item.help(help));
        said.push(named);
    }
}

/// The unit that a column would be in whose values are taken so many times.
fn other(by: f64) -> &'static str {
    if by < 1.0 { "millimetres" } else { "inches" }
}

/// A column of a sum.
struct Summed<'n> {
    owner: String,
    name: String,
    grid: &'n Grid,
    cells: &'n [Option<Amount>],
    /// The row in the file of every cell; the same where it is `None`.
    rows: Option<&'n [Option<usize>]>,
    /// Its middle value, in ticks.
    middle: f64,
    /// How often it counts, over all terms that name it.
    times: f64,
}

impl Summed<'_> {
    /// Its first value with its row in the file.
    fn first(&self) -> Option<(usize, Amount)> {
        let found = self.cells.iter().enumerate().find_map(|(at, value)| Some((at, (*value)?)));
        let (at, value) = found?;
        Some((self.rows.map_or(Some(at), |rows| rows.get(at).copied().flatten())?, value))
    }
}

/// The columns of these terms, each once; `None` where one of them has no values, or a value bears a unit of its own.
fn columns<'n>(names: &Names<'n>, terms: &[Term]) -> Option<Vec<Summed<'n>>> {
    let mut all: Vec<Summed<'n>> = Vec::new();
    for term in terms {
        let owner = names.draft.kind_of(&term.owner);
        let times = term.times as f64 / Term::ONCE as f64;
        if let Some(known) = all.iter_mut().find(|known| known.owner == owner && known.name == term.column) {
            known.times += times;
            continue;
        }
        let (grid, column, rows) = column_of(names, owner, &term.column)?;
        let cells = column.values.as_slice();
        let mut values: Vec<i64> = cells.iter().flatten().map(|value| value.ticks()).collect();
        values.sort_unstable();
        let middle = *values.get(values.len() / 2)? as f64;
        all.push(Summed { owner: owner.to_owned(), name: term.column.clone(), grid, cells, rows, middle, times });
    }
    Some(all)
}

/// A file, a column of it, and the row of every value where it is another than its place.
type Placed<'n> = (&'n Grid, &'n Column, Option<&'n [Option<usize>]>);

/// A column with its file; of positions the row of each of them, too.
fn column_of<'n>(names: &Names<'n>, owner: &str, column: &str) -> Option<Placed<'n>> {
    if let Some(read) = names.sets.of(owner) {
        return Some((read.grid.as_ref()?, read.positions.columns.named(column)?, Some(&read.rows)));
    }
    let read = names.stocks.iter().find(|read| read.stock.kind == owner)?;
    Some((read.grid.as_ref()?, read.stock.columns.named(column)?, None))
}

/// What is left of the middle values, one of them taken so many times, and the largest of them; both without their signs.
fn sum(columns: &[Summed<'_>], scaled: Option<(usize, f64)>) -> (f64, f64) {
    let value = |(at, column): (usize, &Summed<'_>)| {
        let by = scaled.filter(|(which, _)| *which == at).map_or(1.0, |(_, by)| by);
        column.middle * column.times * by
    };
    let values: Vec<f64> = columns.iter().enumerate().map(value).collect();
    (values.iter().sum::<f64>().abs(), values.iter().map(|value| value.abs()).fold(0.0, f64::max))
}
