//! What the row of a part says in words: its label, where it stands, where it may go, how many there are.

use std::collections::HashMap;

use pairwright_engine::job::{Part, Place as PartPlace};

use crate::diagnostic::{Code, Collector, Diagnostic};

use super::cell;
use super::grid::text_column;
use super::header::Columns;
use super::kinds;
use super::names::Places;
use super::table::Row;

/// Where the text columns stand, and what they may name.
pub(super) struct Texts<'a> {
    pub(super) id: usize,
    at: Option<usize>,
    fits: Option<usize>,
    with: Option<usize>,
    count: Option<usize>,
    places: &'a Places,
    /// The parts stand on banks, not in cylinders.
    on_banks: bool,
    /// A row without a count is a type of which there are any number.
    any_unless_counted: bool,
}

impl<'a> Texts<'a> {
    /// The text columns of a stock of `kind`; `None` without one for the labels.
    pub(super) fn of(columns: &Columns<'_>, kind: &str, places: &'a Places) -> Option<Self> {
        let column = |name| text_column(columns, name);
        Some(Self {
            id: column("id")?,
            at: column("at"),
            fits: column("fits").or_else(|| column("bank")),
            with: column("with"),
            count: column("count"),
            places,
            on_banks: kinds::on_banks(kind),
            any_unless_counted: kind == kinds::ANY_UNLESS_COUNTED,
        })
    }

    /// Every place where a part may stand.
    pub(super) fn all(&self) -> &'a [String] {
        if self.on_banks { &self.places.bank_names } else { &self.places.labels }
    }

    /// `in cylinder` or `on bank`.
    pub(super) fn stand(&self) -> String {
        if self.on_banks { "on bank".to_owned() } else { self.places.stand() }
    }

    fn index(&self) -> &'a HashMap<String, usize> {
        if self.on_banks { &self.places.banks } else { &self.places.positions }
    }

    /// Takes what `row` says in words into `part`.
    pub(super) fn take(&self, columns: &Columns<'_>, row: Row<'_>, part: &mut Part, found: &mut Collector) {
        part.at = self.standing(columns, row, found);
        part.fits = self.allowed(columns, row, found);
        part.with = self.with.and_then(|at| cell::label(columns, row, at, found)).map(str::to_owned);
        let any = if self.any_unless_counted { None } else { Some(Part::ANY) };
        part.count = self.count.and_then(|at| count(columns, row, at, any, found));
    }

    fn standing(&self, columns: &Columns<'_>, row: Row<'_>, found: &mut Collector) -> Option<usize> {
        let at = self.at?;
        let label = cell::label(columns, row, at, found)?;
        let place = self.index().get(label).copied();
        if place.is_none() && self.places.trusted {
            let (what, are) = if self.on_banks {
                ("bank", self.places.banks_are())
            } else {
                (self.places.kind.as_str(), self.places.positions_are())
            };
            let item = Diagnostic::wrong(Code::PositionUnknown, format!("there is no {what} `{label}`"))
                .at(row.place(at), "where the part stands now")
                .help(format!("{are}; leave the cell empty for a spare part"));
            found.push(item.in_cell(columns.table.header[at].text.as_str()));
        }
        place
    }

    /// `fits`: cylinders and banks separated by blanks, semicolons or commas, or `none`.
    fn allowed(&self, columns: &Columns<'_>, row: Row<'_>, found: &mut Collector) -> Option<Vec<PartPlace>> {
        let at = self.fits?;
        let text = row.cell(at);
        if text.is_empty() {
            return None;
        }
        if text.eq_ignore_ascii_case("none") {
            return Some(Vec::new());
        }
        if let Some(only) = self.place(text) {
            return Some(vec![only]);
        }
        let mut all = Vec::new();
        for name in text.split(|c: char| c.is_whitespace() || c == ';' || c == ',').filter(|name| !name.is_empty()) {
            match self.place(name) {
                Some(known) => all.push(known),
                None if self.places.trusted => {
                    let (what, are) = if self.on_banks {
                        ("bank", format!("{}; `none` means that the part is never placed", self.places.banks_are()))
                    } else if self.places.have_banks() {
                        ("cylinder or bank", self.places.places_are())
                    } else {
                        (self.places.kind.as_str(), self.places.places_are())
                    };
                    let item = Diagnostic::wrong(Code::PositionUnknown, format!("there is no {what} `{name}`"))
                        .at(row.place(at), "where the part may go")
                        .help(are);
                    found.push(item.in_cell(columns.table.header[at].text.as_str()));
                }
                None => {}
            }
        }
        Some(all)
    }

    fn place(&self, name: &str) -> Option<PartPlace> {
        let position = self.places.positions.get(name).filter(|_| !self.on_banks);
        let position = position.map(|&index| PartPlace::Position(index));
        position.or_else(|| self.places.banks.get(name).map(|&index| PartPlace::Bank(index)))
    }
}

/// `count`: a whole number from 1 on, or `any`.
fn count(columns: &Columns<'_>, row: Row<'_>, at: usize, any: Option<u32>, found: &mut Collector) -> Option<u32> {
    let text = row.cell(at);
    if text.is_empty() {
        return None;
    }
    if text.eq_ignore_ascii_case("any") {
        return any;
    }
    let count = text.parse().ok().filter(|count| *count > 0);
    if count.is_none() {
        let message = format!("count: `{text}` is neither a whole number from 1 on nor `any`");
        let item = Diagnostic::wrong(Code::CsvNumber, message)
            .at(row.place(at), "how many there are")
            .help("write how many there are; take the row out if there is none");
        found.push(item.in_cell(columns.table.header[at].text.as_str()));
    }
    count
}
