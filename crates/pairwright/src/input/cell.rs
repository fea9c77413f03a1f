//! What a cell says.

use pairwright_engine::quantity::{Amount, AmountError, DecimalError};

use crate::diagnostic::{Code, Collector, Diagnostic};

use super::header::{Columns, Measure, Role};
use super::misread;
use super::table::{Row, Separator};

/// A value cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Value {
    /// A value.
    Typed(Amount),
    /// Nothing was typed.
    Empty,
    /// Reported.
    Bad,
}

impl Value {
    pub(super) const fn typed(self) -> Option<Amount> {
        match self {
            Self::Typed(amount) => Some(amount),
            Self::Empty | Self::Bad => None,
        }
    }
}

/// Reads cell `at` of `row` as `measure`.
pub(super) fn value(columns: &Columns<'_>, row: Row<'_>, at: usize, measure: &Measure, found: &mut Collector) -> Value {
    let text = row.cell(at);
    if text.is_empty() {
        return Value::Empty;
    }
    let heading = || columns.table.header[at].text.as_str();
    let label = || format!("column `{}`", heading());
    if measure.expected.comma {
        columns.decimals.note(text, (row.start, row.line, at));
    }
    match Amount::parse(text, &measure.expected) {
        Ok(amount) => match measure.typed_unit {
            Some(unit) if amount.unit() != unit => {
                let message = format!("`{text}` stands in a column of {}", unit.plural());
                let item = Diagnostic::wrong(Code::CsvMixedUnits, message).at(row.place(at), label()).help(format!(
                    "write every value of the column in {}, or take the unit out of the header",
                    unit.plural()
                ));
                found.push(item.in_cell(heading()));
                Value::Bad
            }
            _ => Value::Typed(amount),
        },
        Err(error) => {
            let meant = misread::meant(measure.name, text, &measure.expected);
            let (message, help) = meant.unwrap_or_else(|| (error.to_string(), cell_remedy(&error)));
            let item = Diagnostic::wrong(amount_code(&error), message).at(row.place(at), label()).help(help);
            found.push(item.in_cell(heading()));
            Value::Bad
        }
    }
}

fn amount_code(error: &AmountError) -> Code {
    match error {
        AmountError::Number { source: DecimalError::Comma, .. } => Code::CsvDecimalComma,
        AmountError::OutOfRange { .. } => Code::CsvOutOfRange,
        _ => Code::CsvNumber,
    }
}

fn cell_remedy(error: &AmountError) -> String {
    error.hint().unwrap_or_else(|| match error {
        AmountError::OutOfRange { .. } => "check the digits and the place of the point".to_owned(),
        AmountError::TooFine { .. } => "write fewer decimals".to_owned(),
        _ => "write a number with a decimal point, or leave the cell empty where nothing was measured".to_owned(),
    })
}

/// Reports a row whose cells do not match the header; `true` when they do.
pub(super) fn check_width(columns: &Columns<'_>, row: Row<'_>, found: &mut Collector) -> bool {
    let (cells, headings) = (row.len(), columns.table.header.len());
    if cells < headings {
        let missing = &columns.table.header[cells].text;
        let message = format!("the row has {cells} cells and the header has {headings}");
        let item = Diagnostic::wrong(Code::CsvShortRow, message)
            .at(row.place(cells), format!("`{missing}` should stand here"))
            .at(columns.table.heading_place(cells), "")
            .help("add the cells that are missing; an empty one still needs its separator");
        found.push(item.in_cell("row"));
        return false;
    }
    if cells == headings {
        return true;
    }
    if let Some(at) = split_number(columns, row) {
        let (whole, fraction) = (row.cell(at), row.cell(at + 1));
        let span = row.span(at).start..row.span(at + 1).end;
        let message =
            format!("`{whole},{fraction}` looks like a decimal comma, and the comma separates the columns here");
        let item = Diagnostic::wrong(Code::CsvDecimalComma, message)
            .at(row.place_of(span), format!("taken for two cells; the row has {cells} and the header has {headings}"))
            .help("write a point, or separate the columns with semicolons");
        found.push(item.in_cell("row"));
        return false;
    }
    let message = format!("the row has {cells} cells and the header has {headings}");
    let item = Diagnostic::wrong(Code::CsvLongRow, message)
        .at(row.place(headings), "no column for this")
        .help("take out the cells that are too many; put text with a separator in it into double quotes");
    found.push(item.in_cell("row"));
    false
}

/// The first cell that with its right neighbour looks like one number cut in two by its comma.
fn split_number(columns: &Columns<'_>, row: Row<'_>) -> Option<usize> {
    if columns.table.separator != Separator::Comma {
        return None;
    }
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    (0..columns.roles.len()).find(|&at| {
        let value = matches!(columns.roles[at], Role::Measured(_) | Role::Limit(..));
        value && digits(row.cell(at).trim_start_matches(['-', '+'])) && digits(row.cell(at + 1))
    })
}

/// Reports cells that stand under an empty header.
pub(super) fn check_unnamed(columns: &Columns<'_>, row: Row<'_>, found: &mut Collector) {
    for at in (0..columns.roles.len()).filter(|&at| columns.roles[at] == Role::Unnamed && !row.cell(at).is_empty()) {
        let item = Diagnostic::wrong(Code::CsvUnnamedColumn, "this cell stands under an empty header")
            .at(row.place(at), "")
            .help("name the column in the header; a name that starts with `note` is free");
        found.push(item.in_cell(format!("column {}", at + 1)));
    }
}

/// A label cell: text as typed; `None` where it is empty or reported.
pub(super) fn label<'r>(columns: &Columns<'_>, row: Row<'r>, at: usize, found: &mut Collector) -> Option<&'r str> {
    let text = row.cell(at);
    if text.is_empty() {
        return None;
    }
    if text.bytes().any(|byte| matches!(byte, b'\n' | b'\r')) {
        let heading = &columns.table.header[at].text;
        let item =
            Diagnostic::wrong(Code::CsvLabel, format!("a label in column `{heading}` runs over more than one line"))
                .at(row.place(at), "")
                .help("write it on one line; look for a double quote that is not meant");
        found.push(item.in_cell(heading.as_str()));
        return None;
    }
    Some(text)
}

/// Reports an empty cell in a column that must be filled.
pub(super) fn missing(columns: &Columns<'_>, row: Row<'_>, at: usize, what: &str, found: &mut Collector) {
    let heading = &columns.table.header[at].text;
    let item = Diagnostic::wrong(Code::CsvMissingCell, format!("column `{heading}` is empty"))
        .at(row.place(at), "")
        .help(what);
    found.push(item.in_cell(heading.as_str()));
}
