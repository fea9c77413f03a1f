//! The chambers of the heads: their numbered columns, and the file of repeated pours.

use std::sync::Arc;

use pairwright_engine::job::{ChamberReading, ChamberReadings, Column, Columns as Values};

use crate::diagnostic::{Code, Collector, Diagnostic, Source};

use super::cell::{self, Value};
use super::grid::{Grid, text_column};
use super::header::{self, Columns, Measure, Role};
use super::kinds::CHAMBERS;
use super::names::Ids;
use super::readings::leave_out;
use super::sheet::{Numbered, Sheet};
use super::stock::{StockRead, unknown_part};
use super::table::Row;

const POURS: Sheet<'_> = Sheet {
    what: "a file of chamber readings",
    texts: &["head", "chamber", "leave_out"],
    measured: &["reading"],
    uncertainties: false,
    required: &[&["head"], &["chamber"], &["reading"]],
    meant: &[("reading", "chamber")],
    ..Sheet::PARTS
};

/// Reports numbered columns that leave a number out; `true` where there are such.
pub(super) fn has_gap(columns: &Columns<'_>, numbered: &Numbered, found: &mut Collector) -> bool {
    let at = |name: &str| columns.roles.iter().position(|role| role.name() == name);
    // A refused column may be the one that is not there.
    if columns.roles.contains(&Role::Refused) {
        return false;
    }
    let last = numbered.names.iter().enumerate().rev().find_map(|(last, name)| Some((last, at(name)?)));
    let Some((last, here)) = last else { return false };
    let Some(missing) = numbered.names.iter().take(last).find(|name| at(name).is_none()) else { return false };
    let message = format!("there is a column `{}` and none called `{missing}`", numbered.names[last]);
    let item = Diagnostic::wrong(Code::CsvColumnGap, message)
        .at(columns.table.heading_place(here), "")
        .help(format!("number them from 1 without a gap; leave the cells of `{missing}` empty if it was not measured"));
    found.push(item);
    true
}

/// The columns with `u_chamber` written into every `u_chamber_N` cell that has no value of its own.
pub(super) fn spread_uncertainty(columns: Vec<Column>, numbered: &Numbered) -> Values {
    let named = |name: &str| columns.iter().position(|column| column.name == name);
    let Some(common) = named(numbered.u_stem).map(|at| columns[at].values.clone()) else {
        return Values::new(columns);
    };
    let mut filled = columns.clone();
    for (name, u_name) in numbered.names.iter().zip(numbered.u_names) {
        if named(name).is_none() {
            continue;
        }
        match named(u_name) {
            Some(at) => {
                for (own, common) in filled[at].values.iter_mut().zip(&common) {
                    *own = own.or(*common);
                }
            }
            None => filled.push(Column { name: (*u_name).to_owned(), values: common.clone() }),
        }
    }
    Values::new(filled)
}

/// How many chambers the columns of a stock of heads have room for.
pub(super) fn columns_of(grid: &Grid) -> usize {
    CHAMBERS.names.iter().take_while(|name| grid.has(name)).count()
}

/// What the rows of a file of pours may name.
pub(super) struct Heads<'a> {
    pub(super) read: Option<&'a StockRead>,
    pub(super) ids: Option<&'a Ids<'a>>,
    /// The job's stocks could not all be read.
    pub(super) hidden: bool,
    /// Cylinders of the longest bank; `None` where the banks are not known.
    pub(super) longest: Option<usize>,
}

/// Reads the rows of `source` into `readings`; `true` where every row could be read.
pub(super) fn read(
    readings: &mut ChamberReadings,
    source: &Arc<Source>,
    heads: &Heads<'_>,
    found: &mut Collector,
) -> bool {
    let Some(columns) = header::open(source, &POURS, None, found) else { return false };
    let Some(reader) = Reader::new(&columns, heads) else { return false };
    let (mut seen, mut rows) = (0, columns.table.rows());
    rows.advance();
    while rows.advance() {
        let row = rows.row();
        seen += 1;
        let sound = cell::check_width(&columns, row, found);
        cell::check_unnamed(&columns, row, found);
        if sound {
            readings.rows.extend(reader.take(row, found));
        }
    }
    columns.check_decimals(found);
    if seen == 0 && columns.table.open_quote.is_none() {
        let item = Diagnostic::wrong(Code::CsvHeaderOnly, format!("`{}` has a header and no reading", source.name()))
            .at(columns.table.heading_place(0), "")
            .help("add a row for every reading");
        found.push(item);
    }
    readings.rows.len() == seen
}

struct Reader<'a> {
    columns: &'a Columns<'a>,
    heads: &'a Heads<'a>,
    head: usize,
    chamber: usize,
    reading: (usize, Measure),
    leave_out: Option<usize>,
}

impl<'a> Reader<'a> {
    fn new(columns: &'a Columns<'a>, heads: &'a Heads<'a>) -> Option<Self> {
        let reading = columns.roles.iter().enumerate().find_map(|(at, role)| match role {
            Role::Measured(measure) => Some((at, *measure)),
            _ => None,
        })?;
        let (head, chamber) = (text_column(columns, "head")?, text_column(columns, "chamber")?);
        Some(Self { columns, heads, head, chamber, reading, leave_out: text_column(columns, "leave_out") })
    }

    fn take(&self, row: Row<'_>, found: &mut Collector) -> Option<ChamberReading> {
        let head = self.head(row, found);
        let chamber = self.chamber(row, found);
        let (at, measure) = &self.reading;
        let value = cell::value(self.columns, row, *at, measure, found);
        if value == Value::Empty {
            cell::missing(self.columns, row, *at, "write the reading, or take the row out", found);
        }
        let leave_out = self.leave_out.is_some_and(|at| leave_out(self.columns, row, at, found));
        Some(ChamberReading { head: head?, chamber: chamber?, value: value.typed()?, leave_out, line: row.line })
    }

    fn head(&self, row: Row<'_>, found: &mut Collector) -> Option<usize> {
        let text = row.cell(self.head);
        if text.is_empty() {
            cell::missing(self.columns, row, self.head, "write which head was poured", found);
            return None;
        }
        let index = self.heads.ids.and_then(|ids| ids.find(text));
        let item = match (index, self.heads.ids) {
            (Some(_), _) => return index,
            (None, Some(ids)) if ids.trusted => unknown_part(ids, text),
            (None, None) if !self.heads.hidden => {
                Diagnostic::wrong(Code::PartUnknown, format!("there is no stock that `{text}` could be in"))
                    .help("add `head = \"heads.csv\"` under `[stock]`")
            }
            _ => return None,
        };
        found.push(item.at(row.place(self.head), "").in_cell("head"));
        None
    }

    /// The chamber, counted from 0.
    fn chamber(&self, row: Row<'_>, found: &mut Collector) -> Option<usize> {
        let text = row.cell(self.chamber);
        if text.is_empty() {
            cell::missing(self.columns, row, self.chamber, "write which chamber was poured: 1, 2 …", found);
            return None;
        }
        let number = text.parse::<usize>().ok().filter(|number| (1..=CHAMBERS.names.len()).contains(number));
        let most = self.chambers();
        let beyond = number.zip(most).filter(|(number, (most, _))| number > most);
        let item = match (number, beyond) {
            (None, _) => {
                Diagnostic::wrong(Code::CsvNumber, format!("chamber: `{text}` is not the number of a chamber"))
                    .at(row.place(self.chamber), "")
                    .help(format!(
                        "write a whole number from 1 to {}",
                        most.map_or(CHAMBERS.names.len(), |(most, _)| most)
                    ))
            }
            (Some(number), Some((_, (most, why)))) => {
                Diagnostic::wrong(Code::HeadChambers, format!("there is no chamber {number}: {why} {most}"))
                    .at(row.place(self.chamber), "")
                    .help("correct the number; chambers are counted from the front of the head as measured")
            }
            (Some(number), None) => return Some(number - 1),
        };
        found.push(item.in_cell("chamber"));
        None
    }

    /// How many chambers a head has at most, and what says so.
    fn chambers(&self) -> Option<(usize, &'static str)> {
        let grid = self.heads.read.and_then(|read| read.grid.as_ref());
        if grid.is_some_and(Grid::has_refused) {
            return None;
        }
        let columns = grid.map(columns_of).filter(|&columns| columns > 0);
        let columns = columns.map(|columns| (columns, "the columns of the heads end at chamber"));
        columns.or(self.heads.longest.map(|longest| (longest, "the cylinders of the longest bank number")))
    }
}
