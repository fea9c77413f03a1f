//! What each column of a CSV file is.

use std::cell::Cell;

use pairwright_engine::job::{Bounding, FitName};
use pairwright_engine::quantity::{Bound, Dimension, Expected, Unit};

use crate::diagnostic::{Code, Collector, Diagnostic, Source};

use super::nearest::{listed, remedy};
use super::table::{Separator, Table};

/// The columns that a sort of file knows.
#[derive(Debug)]
pub(super) struct Sheet {
    /// What the file is, for messages: `a piston stock`.
    pub(super) what: &'static str,
    /// Columns of text.
    pub(super) texts: &'static [&'static str],
    /// Columns of values.
    pub(super) measured: &'static [&'static str],
    /// Whether `u_NAME` columns may stand beside the values.
    pub(super) uncertainties: bool,
    /// Whether `min_FIT` and `max_FIT` columns may stand there.
    pub(super) limits: bool,
    /// Columns without which the file says nothing; any name of a group will do.
    pub(super) required: &'static [&'static [&'static str]],
    /// Columns of one quantity that are told apart by a number.
    pub(super) numbered: Option<&'static Numbered>,
    /// Columns that hold another quantity than their name says: the column, the quantity.
    pub(super) meant: &'static [(&'static str, &'static str)],
}

/// Columns of one quantity, numbered from 1: `chamber_1`, `chamber_2`, each with its `u_` column.
#[derive(Debug)]
pub(super) struct Numbered {
    /// The quantity: `chamber`.
    pub(super) stem: &'static str,
    /// The column that holds for all of them: `u_chamber`.
    pub(super) u_stem: &'static str,
    pub(super) names: &'static [&'static str],
    pub(super) u_names: &'static [&'static str],
}

impl Numbered {
    /// The value column called `name`: its name and its bound.
    fn measure(&self, name: &str) -> Option<(&'static str, &'static Bound)> {
        let among = |names: &'static [&'static str]| names.iter().copied().find(|known| *known == name);
        if let Some(known) = among(self.names) {
            return Some((known, Bound::named(self.stem)?));
        }
        let known = among(self.u_names).or((name == self.u_stem).then_some(self.u_stem))?;
        Some((known, Bound::uncertainty_of(self.stem)?))
    }
}

/// What a column is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Role {
    /// A text column, by its name in the sheet.
    Text(&'static str),
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
            Self::Limit(fit, Bounding::Min, _) => match fit {
                FitName::Deck => "min_deck",
                FitName::Skirt => "min_skirt",
                FitName::Mass => "min_mass",
                FitName::PistonToHead => "min_piston_to_head",
                FitName::ClearanceVolume => "min_clearance_volume",
                FitName::Compression => "min_compression",
            },
            Self::Limit(fit, Bounding::Max, _) => match fit {
                FitName::Deck => "max_deck",
                FitName::Skirt => "max_skirt",
                FitName::Mass => "max_mass",
                FitName::PistonToHead => "max_piston_to_head",
                FitName::ClearanceVolume => "max_clearance_volume",
                FitName::Compression => "max_compression",
            },
            Self::Note | Self::Unnamed | Self::Refused => "",
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

/// A value column that a sheet knows.
struct Known {
    name: &'static str,
    bound: &'static Bound,
    /// What it limits, for a `min_FIT` or `max_FIT` column.
    limit: Option<(FitName, Bounding)>,
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

/// Reads the header of `source`; `None` after a report when the rows cannot be read.
pub(super) fn open<'s>(
    source: &'s Source,
    sheet: &Sheet,
    units: Option<Unit>,
    found: &mut Collector,
) -> Option<Columns<'s>> {
    let separator = separator(source, sheet, found)?;
    let table = Table::open(source, separator);
    table.check_open_quote(found);
    if table.header.is_empty() {
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

/// What separates the columns, decided on the header line and only where it is certain.
fn separator(source: &Source, sheet: &Sheet, found: &mut Collector) -> Option<Separator> {
    let text = source.text();
    let from = text.len() - text.trim_start_matches(['\r', '\n']).len();
    let line = text[from..].lines().next().unwrap_or("");
    let occurs = |separator: Separator| {
        let mut quoted = false;
        line.bytes().any(|byte| {
            quoted ^= byte == b'"';
            !quoted && byte == separator.byte()
        })
    };
    let candidates: Vec<_> = Separator::ALL.into_iter().filter(|&separator| occurs(separator)).collect();
    match candidates[..] {
        [] => Some(Separator::Comma),
        [only] => Some(only),
        _ => {
            let fits = |separator: &Separator| {
                let cells: Vec<_> = line.split(char::from(separator.byte())).collect();
                let known = |cell: &&&str| sheet.knows(&normal(cell.trim().trim_matches('"')));
                cells.len() > 1 && cells.iter().filter(known).count() == cells.len()
            };
            let mut fitting = candidates.iter().copied().filter(fits);
            if let (Some(only), None) = (fitting.next(), fitting.next()) {
                return Some(only);
            }
            let words: Vec<_> = candidates.iter().map(|separator| separator.word()).collect();
            let message =
                format!("it is not certain what separates the columns: the header has {}", words.join(" and "));
            let item =
                Diagnostic::wrong(Code::CsvSeparator, message).at(source.place(from..from + line.len()), "").help(
                    "separate all columns with one of comma, semicolon or tab, and leave the others out of the header",
                );
            found.push(item);
            None
        }
    }
}

/// A header cell as it is looked up: lower case, blanks as underscores.
fn normal(text: &str) -> String {
    text.to_ascii_lowercase().replace(' ', "_")
}

impl Sheet {
    /// What the files of all stocks have in common.
    pub(super) const PARTS: Self = Self {
        what: "a stock",
        texts: &["id"],
        measured: &[],
        uncertainties: true,
        limits: false,
        required: &[&["id"]],
        numbered: None,
        meant: &[],
    };

    /// Every name that may stand in a header, without units.
    fn names(&self) -> Vec<&'static str> {
        let first = self.numbered.and_then(|numbered| numbered.names.first());
        self.texts.iter().chain(first).chain(self.measured).copied().collect()
    }

    fn knows(&self, name: &str) -> bool {
        self.texts.contains(&name) || name.starts_with("note") || name.is_empty() || {
            let (stem, unit) = split_unit(name);
            self.measure(name).is_some() || (unit.is_some() && self.measure(stem).is_some())
        }
    }

    /// The bound of the value column called `name`, and what sort of column it is.
    fn measure(&self, name: &str) -> Option<Known> {
        if let Some(known) = self.measured.iter().find(|known| **known == name) {
            let meant = self.meant.iter().find(|(column, _)| column == known).map_or(*known, |(_, quantity)| quantity);
            return Some(Known { name: known, bound: Bound::named(meant)?, limit: None });
        }
        if let Some((name, bound)) = self.numbered.and_then(|numbered| numbered.measure(name)) {
            return Some(Known { name, bound, limit: None });
        }
        if let Some(stem) = name.strip_prefix("u_").filter(|stem| self.uncertainties && self.measured.contains(stem)) {
            let bound = Bound::uncertainty_of(stem)?;
            return Some(Known { name: bound.name, bound, limit: None });
        }
        if !self.limits {
            return None;
        }
        let (side, fit) = match (name.strip_prefix("min_"), name.strip_prefix("max_")) {
            (Some(fit), _) => (Bounding::Min, fit),
            (_, Some(fit)) => (Bounding::Max, fit),
            _ => return None,
        };
        let fit = FitName::named(fit)?;
        Some(Known { name: fit.name(), bound: Bound::named(fit.name())?, limit: Some((fit, side)) })
    }
}

/// `bore_mm` to `bore` and its unit.
fn split_unit(name: &str) -> (&str, Option<Unit>) {
    match name.rsplit_once('_') {
        Some((stem, unit)) if Unit::from_symbol(unit).is_some() => (stem, Unit::from_symbol(unit)),
        _ => (name, None),
    }
}

fn role(table: &Table<'_>, at: usize, sheet: &Sheet, units: Option<Unit>, comma: bool, found: &mut Collector) -> Role {
    let heading = &table.header[at];
    let name = normal(&heading.text);
    if name.is_empty() {
        return Role::Unnamed;
    }
    if let Some(text) = sheet.texts.iter().find(|text| **text == name) {
        return Role::Text(text);
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
        found.push(unknown_column(table, at, sheet, &name, units));
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
            .help(unit_help(name, bound, units));
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
            .help(unit_help(name, bound, units));
        found.push(item);
        return None;
    }
    // Without the job's unit a bare length cannot be judged; the job file's report says so.
    unit?;
    Some(Measure { name, expected: Expected { bound, unit, comma }, typed_unit })
}

fn units_of(dimension: Dimension) -> Vec<&'static str> {
    Unit::WRITTEN.into_iter().filter(|unit| unit.dimension() == dimension).map(Unit::symbol).collect()
}

/// What a header may say; a length is shown in the job's own unit.
fn unit_help(name: &str, bound: &Bound, job: Option<Unit>) -> String {
    let units = units_of(bound.dimension);
    let own = job.filter(|unit| unit.dimension() == bound.dimension).map(Unit::symbol);
    match own.or(units.first().copied()) {
        Some(first) => {
            format!(
                "name the unit in the header, as in `{}_{first}`; a {} takes {}",
                name,
                bound.dimension,
                listed(&units)
            )
        }
        None => format!("write `{name}` alone"),
    }
}

fn unknown_column(table: &Table<'_>, at: usize, sheet: &Sheet, name: &str, units: Option<Unit>) -> Diagnostic {
    let heading = table.header[at].text.as_str();
    let place = table.heading_place(at);
    if let Some((stem, unit)) = name.rsplit_once('_')
        && let Some(Known { name, bound, .. }) = sheet.measure(stem)
    {
        return Diagnostic::wrong(Code::CsvColumnUnit, format!("`{unit}` in `{heading}` is no unit"))
            .at(place, "")
            .help(unit_help(name, bound, units));
    }
    let (stem, _) = split_unit(name);
    let mut there_are = format!("{} has the columns", sheet.what);
    if sheet.uncertainties {
        there_are.insert_str(0, "besides `u_NAME` and `note` columns ");
    }
    Diagnostic::wrong(Code::CsvUnknownColumn, format!("nothing uses a column `{heading}`")).at(place, "").help(remedy(
        stem,
        &sheet.names(),
        &there_are,
    ))
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

fn check_required(table: &Table<'_>, roles: &[Role], sheet: &Sheet, found: &mut Collector) -> bool {
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
        (0..roles.len()).any(|at| roles[at] == Role::Refused && (near(at) || stem(at)))
    };
    let mut complete = true;
    for group in sheet.required.iter().filter(|group| !group.iter().any(has)) {
        complete = false;
        if group.iter().any(refused) {
            continue;
        }
        let message = format!("{} needs a column `{}`", sheet.what, group[0]);
        let end = table.header.last().map_or(0, |heading| heading.span.end);
        let start = table.header.first().map_or(0, |heading| heading.span.start);
        let item = Diagnostic::wrong(Code::CsvMissingColumn, message)
            .at(table.source.place_on(table.line, start..end), "the header")
            .help(format!("add the column `{}`; {} has the columns {}", group[0], sheet.what, listed(&sheet.names())));
        found.push(item);
    }
    complete
}

#[cfg(test)]
mod tests;
