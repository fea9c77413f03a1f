//! What each column of a CSV file is.

use std::cell::Cell;

use pairwright_engine::job::{Bounding, FitName};
use pairwright_engine::quantity::{Bound, Dimension, Expected, Unit};

use crate::diagnostic::{Code, Collector, Diagnostic, Source};

use super::nearest::listed;
use super::sheet::{Known, Sheet, normal, split_unit};
use super::table::{Separator, Table};

mod separated;
mod unknown;

use unknown::{meant_by, unit_help, unknown_column};

/// What a column is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Role {
    /// A text column, by its name in the sheet.
    Text(&'static str),
    /// A column of words that positions are told apart by, by its number in the sheet.
    Group(usize),
    /// A value.
    Measured(Measure),
    /// A limit that differs from row to row.
    Limit(FitName, Bounding, Measure),
    /// Free text.
    Note,
    /// No header; every cell must be empty.
    Unnamed,
    /// Reported already; its cells are not looked at.
    Refused,
}

impl Role {
    /// The column's name without its unit; empty where it has none.
    pub(super) fn name(&self) -> &'static str {
        match self {
            Self::Text(name) => name,
            Self::Measured(measure) => measure.name,
            Self::Limit(fit, Bounding::Min, measure) => match fit {
                FitName::Deck => "min_deck",
                FitName::Skirt => "min_skirt",
                FitName::Mass => "min_mass",
                FitName::PistonToHead => "min_piston_to_head",
                FitName::ClearanceVolume => "min_clearance_volume",
                FitName::Compression => "min_compression",
                FitName::Lift => "min_lift",
                FitName::Declared(_) | FitName::Entry(_) => measure.name,
            },
            Self::Limit(fit, Bounding::Max, measure) => match fit {
                FitName::Deck => "max_deck",
                FitName::Skirt => "max_skirt",
                FitName::Mass => "max_mass",
                FitName::PistonToHead => "max_piston_to_head",
                FitName::ClearanceVolume => "max_clearance_volume",
                FitName::Compression => "max_compression",
                FitName::Lift => "max_lift",
                FitName::Declared(_) | FitName::Entry(_) => measure.name,
            },
            Self::Group(_) | Self::Note | Self::Unnamed | Self::Refused => "",
        }
    }
}

/// How the cells of a value column are read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Measure {
    /// The name without its unit: `u_bore`.
    pub(super) name: &'static str,
    pub(super) expected: Expected,
    /// The unit that the header names.
    pub(super) typed_unit: Option<Unit>,
}

impl PartialEq for Measure {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

/// A table and what its columns are.
#[derive(Debug)]
pub(super) struct Columns<'s> {
    pub(super) table: Table<'s>,
    pub(super) roles: Vec<Role>,
    pub(super) decimals: Decimals,
}

/// Where the first decimal comma and the first decimal point stand: cell start, line, column.
#[derive(Debug, Default)]
pub(super) struct Decimals {
    comma: Cell<Option<Spot>>,
    point: Cell<Option<Spot>>,
}

/// Row start, line and column of a cell.
pub(super) type Spot = (usize, u32, usize);

impl Decimals {
    /// Remembers how the number `text` at `spot` is written.
    pub(super) fn note(&self, text: &str, spot: Spot) {
        let first = if text.contains(',') {
            &self.comma
        } else if text.contains('.') {
            &self.point
        } else {
            return;
        };
        first.set(first.get().or(Some(spot)));
    }
}

impl Columns<'_> {
    /// Warns of a file that has both decimal commas and decimal points.
    pub(super) fn check_decimals(&self, found: &mut Collector) {
        let (Some(comma), Some(point)) = (self.decimals.comma.get(), self.decimals.point.get()) else { return };
        let place = |(start, line, at): Spot| Table::place_in(self.table.source, self.table.separator, start, line, at);
        let item = Diagnostic::warning(Code::NoteDecimals, "the file has decimal commas and decimal points")
            .at(place(comma), "a comma")
            .at(place(point), "a point")
            .help("both are read as decimals; check that none of them separates thousands");
        found.push(item);
    }
}

/// The headings of `source` in small letters, blanks as underscores; `None` where they cannot be told apart.
pub(super) fn headings(source: &Source, sheet: &Sheet<'_>) -> Option<Vec<String>> {
    // Whatever is wrong with the header is reported when the file is read.
    let separator = separated::separator(source, sheet, &mut Collector::default())?;
    let table = Table::open(source, separator);
    Some(table.header.iter().map(|heading| normal(&heading.text)).collect())
}

/// Reads the header of `source`; `None` after a report when the rows cannot be read.
pub(super) fn open<'s>(
    source: &'s Source,
    sheet: &Sheet<'_>,
    units: Option<Unit>,
    found: &mut Collector,
) -> Option<Columns<'s>> {
    let separator = separated::separator(source, sheet, found)?;
    let table = Table::open(source, separator);
    table.check_open_quote(found);
    if table.header.is_empty() {
        return None;
    }
    if separated::rows_differ(&table, found) {
        return None;
    }
    if separator != Separator::Comma {
        let message = format!("the columns of `{}` are separated by {}", source.name(), separator.word());
        found.push(Diagnostic::note(Code::NoteSeparator, message).at(source.place(0..0), ""));
    }
    let comma = separator != Separator::Comma;
    let roles: Vec<_> = (0..table.header.len()).map(|at| role(&table, at, sheet, units, comma, found)).collect();
    check_duplicates(&table, &roles, found);
    let complete = check_required(&table, &roles, sheet, found);
    complete.then(|| Columns { table, roles, decimals: Decimals::default() })
}

fn role(
    table: &Table<'_>,
    at: usize,
    sheet: &Sheet<'_>,
    units: Option<Unit>,
    comma: bool,
    found: &mut Collector,
) -> Role {
    let heading = &table.header[at];
    let name = normal(&heading.text);
    if name.is_empty() {
        return Role::Unnamed;
    }
    if let Some(text) = sheet.texts.iter().find(|text| **text == name) {
        return Role::Text(text);
    }
    if sheet.called == Some(name.as_str()) {
        return Role::Text("id");
    }
    if let Some(group) = sheet.groups.iter().position(|group| *group == name) {
        return Role::Group(group);
    }
    if name.starts_with("note") {
        if !matches!(name.as_str(), "note" | "notes") {
            let message = format!("column `{}` is taken for a note and not used", heading.text);
            found.push(Diagnostic::note(Code::NoteColumn, message).at(table.heading_place(at), ""));
        }
        return Role::Note;
    }
    let (stem, unit) = split_unit(&name);
    let known = if unit.is_some() { sheet.measure(stem) } else { sheet.measure(&name) };
    let Some(Known { name, bound, limit }) = known else {
        if !sheet.hidden || meant_by(table, sheet, &name).is_some() {
            found.push(unknown_column(table, at, sheet, &name, units));
        }
        return Role::Refused;
    };
    let Some(measure) = measure(table, at, name, bound, unit, units, comma, found) else { return Role::Refused };
    match limit {
        Some((fit, side)) => Role::Limit(fit, side, measure),
        None => Role::Measured(measure),
    }
}

/// How the cells are read, if the unit in the header fits or is not needed.
#[expect(clippy::too_many_arguments, reason = "the pieces of one header cell")]
fn measure(
    table: &Table<'_>,
    at: usize,
    name: &'static str,
    bound: &'static Bound,
    typed_unit: Option<Unit>,
    units: Option<Unit>,
    comma: bool,
    found: &mut Collector,
) -> Option<Measure> {
    let heading = table.header[at].text.as_str();
    let dimension = bound.dimension;
    let place = || table.heading_place(at);
    if let Some(unit) = typed_unit.filter(|unit| unit.dimension() != dimension) {
        let item = Diagnostic::wrong(Code::CsvColumnUnit, format!("`{unit}` is no unit of {dimension}"))
            .at(place(), format!("this is a {dimension}"))
            .help(unit_help(split_unit(&normal(heading)).0, bound, units));
        found.push(item);
        return None;
    }
    let unit = match dimension {
        Dimension::Length => typed_unit.or(units),
        Dimension::Money => Some(Unit::Money),
        Dimension::Ratio => Some(Unit::One),
        Dimension::Volume | Dimension::Mass => typed_unit,
    };
    if unit.is_none() && dimension != Dimension::Length {
        let item = Diagnostic::wrong(Code::CsvColumnUnit, format!("column `{heading}` does not say its unit"))
            .at(place(), format!("this is a {dimension}"))
            .help(unit_help(split_unit(&normal(heading)).0, bound, units));
        found.push(item);
        return None;
    }
    // Without the job's unit a bare length cannot be judged; the job file's report says so.
    unit?;
    Some(Measure { name, expected: Expected { bound, unit, comma }, typed_unit })
}

fn check_duplicates(table: &Table<'_>, roles: &[Role], found: &mut Collector) {
    for (at, role) in roles.iter().enumerate() {
        if matches!(role, Role::Note | Role::Unnamed | Role::Refused) {
            continue;
        }
        if let Some(first) = roles[..at].iter().position(|other| other == role) {
            let message = format!("column `{}` is there twice", table.header[at].text);
            let item = Diagnostic::wrong(Code::CsvDuplicateColumn, message)
                .at(table.heading_place(at), "again here")
                .at(table.heading_place(first), "first here")
                .help("keep one of them, or rename the other to a `note` column");
            found.push(item);
        }
    }
}

fn check_required(table: &Table<'_>, roles: &[Role], sheet: &Sheet<'_>, found: &mut Collector) -> bool {
    let has = |name: &&str| {
        roles.iter().any(|role| match role {
            Role::Text(text) => text == name,
            Role::Measured(measure) => &measure.name == name,
            _ => false,
        })
    };
    // A refused column may be the one that is wanted: its own report is enough.
    let refused = |name: &&str| {
        let near = |at: usize| super::nearest::nearest(&normal(&table.header[at].text), [*name]).is_some();
        let stem = |at: usize| normal(&table.header[at].text).starts_with(*name);
        let meant = |at: usize| {
            let meant = meant_by(table, sheet, &normal(&table.header[at].text));
            meant.is_some_and(|meant| split_unit(&meant).0 == *name)
        };
        (0..roles.len()).any(|at| roles[at] == Role::Refused && (near(at) || stem(at) || meant(at)))
    };
    let called = |group: &[&'static str]| sheet.called.filter(|_| group[0] == "id");
    let mut complete = true;
    for group in sheet.required.iter().filter(|group| !group.iter().any(has)) {
        complete = false;
        if group.iter().copied().chain(called(group)).any(|name| refused(&name)) {
            continue;
        }
        let wanted = called(group).unwrap_or(group[0]);
        let message = format!("{} needs a column `{wanted}`", sheet.what);
        let end = table.header.last().map_or(0, |heading| heading.span.end);
        let start = table.header.first().map_or(0, |heading| heading.span.start);
        let item = Diagnostic::wrong(Code::CsvMissingColumn, message)
            .at(table.source.place_on(table.line, start..end), "the header")
            .help(format!("add the column `{wanted}`; {} has the columns {}", sheet.what, listed(&sheet.names())));
        found.push(item);
    }
    complete
}

#[cfg(test)]
mod tests;
