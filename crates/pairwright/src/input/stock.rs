//! A stock's file: one part a row.

use std::collections::HashMap;
use std::sync::Arc;

use pairwright_engine::job::{Columns as Values, Part, Stock};
use pairwright_engine::quantity::Unit;

use crate::diagnostic::{Code, Collector, Diagnostic, Source};

use super::cell;
use super::chambers;
use super::declared::Declared;
use super::far_off;
use super::grid::Grid;
use super::header::{self, Columns};
use super::kinds;
use super::names::{Ids, Places};
use super::nearest::nearest;
use super::no_price;
use super::part_row::Texts;
use super::sheet::Sheet;
use super::table::Row;

/// A stock and what is needed to point into its file.
#[derive(Debug)]
pub(super) struct StockRead {
    pub(super) stock: Stock,
    /// `None` where the file could not be read.
    pub(super) grid: Option<Grid>,
    /// Whether every row's label is known.
    trusted: bool,
}

/// Reads the stock of `kind` from `source`, which the job calls `file` and of which a position takes `a_position` parts; a source that could not be
/// read gives an empty stock that is not to be trusted.
pub(super) fn read(
    (kind, file, a_position): (&str, &str, usize),
    source: Option<&Arc<Source>>,
    units: Option<Unit>,
    places: &Places,
    declared: &Declared,
    found: &mut Collector,
) -> StockRead {
    let stock =
        Stock { kind: kind.to_owned(), positions: places.kind.clone(), file: file.to_owned(), ..Stock::default() };
    let mut read = StockRead { stock, grid: None, trusted: false };
    let Some(source) = source else { return read };
    let what = format!("a {kind} stock");
    let sheet = kinds::sheet(kind, &what);
    let known = declared.known(kind, &sheet);
    let Some(columns) =
        header::open(source, &Sheet { declared: &known, hidden: declared.refused, ..sheet }, units, found)
    else {
        return read;
    };
    let numbered = sheet.numbered;
    let gap = numbered.is_some_and(|numbered| chambers::has_gap(&columns, numbered, found));
    let Some(texts) = Texts::of(&columns, kind, places) else { return read };
    let mut grid = Grid::new(source, &columns);
    if gap {
        grid.refuse();
    }
    read.trusted = columns.table.open_quote.is_none();
    read.stock.parts.reserve_exact(columns.table.lines);
    let mut standing = vec![Vec::new(); texts.all().len()];
    let mut rows = columns.table.rows();
    rows.advance();
    while rows.advance() {
        let row = rows.row();
        let sound = cell::check_width(&columns, row, found);
        cell::check_unnamed(&columns, row, found);
        let Some(label) = cell::label(&columns, row, texts.id, found) else {
            read.trusted = false;
            if sound && row.cell(texts.id).is_empty() {
                found.push(no_id(&columns, row, &texts));
            }
            continue;
        };
        let mut part = Part { id: label.to_owned(), at: None, fits: None, with: None, count: None, line: row.line };
        if sound {
            texts.take(&columns, row, &mut part, found);
        }
        let index = read.stock.parts.len();
        grid.take(&columns, row, sound, found);
        if let Some(there) = part.at.and_then(|position| standing.get_mut(position)) {
            if let Some(&first) = there.last().filter(|_| there.len() >= a_position) {
                found.push(same_place(&read.stock, &grid, first, index, &part, &texts));
            }
            there.push(index);
        }
        read.stock.parts.push(part);
    }
    columns.check_decimals(found);
    if read.stock.parts.is_empty() && read.trusted {
        let item = Diagnostic::wrong(Code::CsvHeaderOnly, format!("`{}` has a header and no part", source.name()))
            .at(grid.header_place(), "")
            .help("add a row for every part");
        found.push(item);
        read.trusted = false;
    }
    // Types of gaskets may differ as they like.
    if !kinds::on_banks(kind) {
        far_off::warn(&grid, kind, declared, found);
    }
    no_price::warn(&read.stock, &grid, found);
    let values = grid.take_columns();
    read.stock.columns = match numbered {
        Some(numbered) => chambers::spread_uncertainty(values, numbered),
        None => Values::new(values),
    };
    read.grid = Some(grid);
    read
}

fn no_id(columns: &Columns<'_>, row: Row<'_>, texts: &Texts<'_>) -> Diagnostic {
    Diagnostic::wrong(Code::PartNoId, "this part has no label")
        .at(row.place(texts.id), format!("column `{}`", columns.table.header[texts.id].text))
        .help("write the mark that is on the part, or mark it now; take the row out if there is no part")
        .in_cell(columns.table.header[texts.id].text.as_str())
}

fn same_place(stock: &Stock, grid: &Grid, first: usize, second: usize, part: &Part, texts: &Texts<'_>) -> Diagnostic {
    let place = part.at.and_then(|at| texts.all().get(at)).map_or("", String::as_str);
    let (one, other) = (&stock.parts[first].id, &part.id);
    Diagnostic::wrong(Code::PartSamePlace, format!("`{one}` and `{other}` both stand {} {place}", texts.stand()))
        .at(grid.place(second, "at"), format!("`{other}`"))
        .at(grid.place(first, "at"), format!("`{one}`"))
        .help("empty the `at` cell of the one that is a spare")
        .in_cell("at")
}

impl StockRead {
    /// Whether every row's label is known.
    pub(super) fn is_whole(&self) -> bool {
        self.trusted
    }

    /// The labels; reports those that occur twice.
    pub(super) fn ids(&self, found: &mut Collector) -> Ids<'_> {
        let mut index = HashMap::with_capacity(self.stock.parts.len());
        for (at, part) in self.stock.parts.iter().enumerate() {
            let first = *index.entry(part.id.as_str()).or_insert(at);
            let Some(grid) = self.grid.as_ref().filter(|_| first != at) else { continue };
            let item = Diagnostic::wrong(Code::PartTwice, format!("two parts are called `{}`", part.id))
                .at(grid.place(at, "id"), "again here")
                .at(grid.place(first, "id"), "first here")
                .help("give each part a mark of its own, on the part and in the file");
            found.push(item.in_cell("id"));
        }
        Ids::new(&self.stock, index, self.trusted)
    }
}

/// Reports mates (`with`) that the other stock does not have.
pub(super) fn check_mates(read: &StockRead, others: &[Ids<'_>], found: &mut Collector) {
    let Some(grid) = read.grid.as_ref().filter(|grid| grid.has("with")) else { return };
    let mate = if read.stock.kind == "rod" { "piston" } else { "rod" };
    let Some(other) = others.iter().find(|ids| ids.kind == mate).filter(|ids| ids.trusted) else { return };
    for (row, part) in read.stock.parts.iter().enumerate() {
        let Some(mate) = part.with.as_deref().filter(|mate| other.find(mate).is_none()) else { continue };
        found.push(unknown_part(other, mate).at(grid.place(row, "with"), "").in_cell("with"));
    }
}

/// The report that a stock has no part called `label`, without its place.
pub(super) fn unknown_part(ids: &Ids<'_>, label: &str) -> Diagnostic {
    let plain = |label: &str| label.trim_start_matches('0').to_lowercase();
    let same = ids.labels().find(|known| plain(known) == plain(label));
    let near = same.or_else(|| nearest(label, ids.labels()));
    let item = stranger(ids, label);
    match near {
        Some(near) => item.help(format!("did you mean `{near}`? or add the part to `{}`", ids.file)),
        None => item,
    }
}

/// The same without a likely name.
pub(super) fn stranger(ids: &Ids<'_>, label: &str) -> Diagnostic {
    Diagnostic::wrong(Code::PartUnknown, format!("there is no {} `{label}`", ids.kind))
        .help(format!("correct the label, or add the part to `{}`", ids.file))
}
