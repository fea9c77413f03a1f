//! The values of a file, column by column, and where each of them stands.

use std::collections::HashSet;
use std::sync::Arc;

use pairwright_engine::job::{Bounding, Column, DeclaredFits, PositionLimit};
use pairwright_engine::quantity::Amount;

use crate::diagnostic::{Code, Collector, Diagnostic, Place, Source};

use super::cell::{self, Value};
use super::header::{Columns, Role};
use super::table::{Row, Separator, Table};

/// What was read from a file's value columns, and the places of its rows.
#[derive(Debug)]
pub(super) struct Grid {
    source: Arc<Source>,
    separator: Separator,
    /// Name of every column (without its unit), in file order.
    names: Vec<&'static str>,
    header: Place,
    /// Start and line of every row.
    rows: Vec<(u32, u32)>,
    values: Vec<ValueColumn>,
    /// Whether a column was refused; what seems to be missing may be that one.
    refused: bool,
    /// Cells that were reported, by row and column name.
    bad: HashSet<(usize, &'static str)>,
}

#[derive(Debug)]
struct ValueColumn {
    at: usize,
    role: Role,
    cells: Vec<Option<Amount>>,
}

impl Grid {
    pub(super) fn new(source: &Arc<Source>, columns: &Columns<'_>) -> Self {
        let lines = columns.table.lines;
        let is_value = |role: &Role| matches!(role, Role::Measured(_) | Role::Limit(..));
        let values = columns.roles.iter().enumerate().filter(|(_, role)| is_value(role));
        let (first, last) = (columns.table.header.first(), columns.table.header.last());
        let span = first.map_or(0, |heading| heading.span.start)..last.map_or(0, |heading| heading.span.end);
        Self {
            source: Arc::clone(source),
            separator: columns.table.separator,
            names: columns.roles.iter().map(Role::name).collect(),
            header: source.place_on(columns.table.line, span),
            rows: Vec::with_capacity(lines),
            refused: columns.roles.contains(&Role::Refused),
            values: values.map(|(at, &role)| ValueColumn { at, role, cells: Vec::with_capacity(lines) }).collect(),
            bad: HashSet::new(),
        }
    }

    /// Takes the values of `row`; a row that is not `sound` gives none.
    pub(super) fn take(&mut self, columns: &Columns<'_>, row: Row<'_>, sound: bool, found: &mut Collector) {
        let index = self.rows.len();
        for column in &mut self.values {
            let (Role::Measured(measure) | Role::Limit(_, _, measure)) = &column.role else { continue };
            let value = if sound { cell::value(columns, row, column.at, measure, found) } else { Value::Bad };
            if value == Value::Bad {
                self.bad.insert((index, column.role.name()));
            }
            column.cells.push(value.typed());
        }
        // A file has at most 64 MB, so both fit.
        self.rows.push((u32::try_from(row.start).unwrap_or(u32::MAX), row.line));
    }

    pub(super) fn line(&self, row: usize) -> u32 {
        self.rows.get(row).map_or(0, |&(_, line)| line)
    }

    pub(super) fn has(&self, name: &str) -> bool {
        self.names.contains(&name)
    }

    /// The columns were reported: what seems to be missing may only be misnamed.
    pub(super) fn refuse(&mut self) {
        self.refused = true;
    }

    /// Whether a column of the file was refused and reported.
    pub(super) fn has_refused(&self) -> bool {
        self.refused
    }

    /// Whether the cell was reported already.
    pub(super) fn is_bad(&self, row: usize, name: &'static str) -> bool {
        self.bad.contains(&(row, name))
    }

    /// The cell of `row` in the column called `name`; the row's first cell where there is none.
    pub(super) fn place(&self, row: usize, name: &str) -> Place {
        let at = self.names.iter().position(|known| *known == name).unwrap_or(0);
        let (start, line) = self.rows.get(row).copied().unwrap_or((0, 1));
        Table::place_in(&self.source, self.separator, start as usize, line, at)
    }

    /// The header line.
    pub(super) fn header_place(&self) -> Place {
        self.header.clone()
    }

    /// The cells of the value column called `name`, in file order.
    pub(super) fn cells(&self, name: &str) -> Option<&[Option<Amount>]> {
        let column =
            self.values.iter().find(|column| matches!(column.role, Role::Measured(measure) if measure.name == name));
        column.map(|column| column.cells.as_slice())
    }

    /// The names of the value columns, limits not among them.
    pub(super) fn measured(&self) -> impl Iterator<Item = &'static str> {
        self.values.iter().filter(|column| matches!(column.role, Role::Measured(_))).map(|column| column.role.name())
    }

    /// The value columns, rows in the order of `order`.
    pub(super) fn columns(&self, order: &[Option<usize>]) -> Vec<Column> {
        let measured = self.values.iter().filter(|column| matches!(column.role, Role::Measured(_)));
        measured.map(|column| Column { name: column.role.name().to_owned(), values: column.ordered(order) }).collect()
    }

    /// The value columns, rows in file order, without copying them.
    pub(super) fn take_columns(&mut self) -> Vec<Column> {
        let measured = self.values.iter_mut().filter(|column| matches!(column.role, Role::Measured(_)));
        measured
            .map(|column| Column { name: column.role.name().to_owned(), values: std::mem::take(&mut column.cells) })
            .collect()
    }

    /// The limit columns, rows in the order of `order`.
    pub(super) fn limits(&self, order: &[Option<usize>]) -> Vec<PositionLimit> {
        let limit = |column: &ValueColumn| match column.role {
            Role::Limit(fit, side, _) => Some(PositionLimit { fit, side, values: column.ordered(order) }),
            _ => None,
        };
        self.values.iter().filter_map(limit).collect()
    }

    /// Reports rows whose `min_FIT` is above their `max_FIT`.
    pub(super) fn check_limits(&self, fits: &DeclaredFits, found: &mut Collector) {
        for fit in fits.all() {
            let side = |wanted: Bounding| {
                self.values.iter().find(|column| matches!(column.role, Role::Limit(f, s, _) if f == fit && s == wanted))
            };
            let (Some(min), Some(max)) = (side(Bounding::Min), side(Bounding::Max)) else { continue };
            for row in 0..self.rows.len() {
                let (Some(low), Some(high)) = (min.cells[row], max.cells[row]) else { continue };
                if low.ticks() > high.ticks() {
                    let place = |column: &ValueColumn| self.place(row, column.role.name());
                    let message = format!("the least {} is above the greatest", fits.phrase(fit));
                    let item = Diagnostic::wrong(Code::LimitUpsideDown, message)
                        .at(place(min), format!("least: {low}"))
                        .at(place(max), format!("greatest: {high}"))
                        .help("swap the two values, or check the decimal places");
                    found.push(item.in_cell(min.role.name()));
                }
            }
        }
    }
}

impl ValueColumn {
    fn ordered(&self, order: &[Option<usize>]) -> Vec<Option<Amount>> {
        order.iter().map(|row| row.and_then(|row| self.cells.get(row).copied().flatten())).collect()
    }
}

/// The column in which `name` stands, among text columns.
pub(super) fn text_column(columns: &Columns<'_>, name: &str) -> Option<usize> {
    columns.roles.iter().position(|role| matches!(role, Role::Text(text) if *text == name))
}
