//! The CSV file of clearances: one a row.

use std::sync::Arc;

use pairwright_engine::quantity::Unit;

use super::draft::{EntryDraft, MEANT, Said};
use super::{AMOUNTS, TEXTS};
use crate::diagnostic::{Code, Collector, Diagnostic, Source};
use crate::input::cell::{self, Value};
use crate::input::header::{self, Columns, Role};
use crate::input::sheet::Sheet;
use crate::input::table::Row;

const CLEARANCES: Sheet<'_> = Sheet {
    what: "a file of clearances",
    texts: TEXTS,
    measured: AMOUNTS,
    meant: MEANT,
    uncertainties: false,
    required: &[&["name"], &["reading"], &["minimum"]],
    ..Sheet::PARTS
};

/// The entries of `source`, in the order of its rows.
pub(in crate::input) fn read(source: &Arc<Source>, units: Option<Unit>, found: &mut Collector) -> Vec<EntryDraft> {
    let mut entries = Vec::new();
    let Some(columns) = header::open(source, &CLEARANCES, units, found) else { return entries };
    let mut rows = columns.table.rows();
    rows.advance();
    while rows.advance() {
        let row = rows.row();
        let sound = cell::check_width(&columns, row, found);
        cell::check_unnamed(&columns, row, found);
        if sound {
            entries.push(entry(&columns, row, found));
        }
    }
    columns.check_decimals(found);
    if entries.is_empty() && columns.table.open_quote.is_none() {
        let item = Diagnostic::wrong(Code::CsvHeaderOnly, format!("`{}` has a header and no clearance", source.name()))
            .at(columns.table.heading_place(0), "")
            .help("add a row for every clearance, or take the file out of the job");
        found.push(item);
    }
    entries
}

fn entry(columns: &Columns<'_>, row: Row<'_>, found: &mut Collector) -> EntryDraft {
    let heading = |at: usize| columns.table.header[at].text.clone();
    let named = columns.roles.iter().position(|role| *role == Role::Text("name")).unwrap_or(0);
    let mut entry = EntryDraft::new(row.place(named), Some(heading(named)));
    for (at, role) in columns.roles.iter().enumerate() {
        match role {
            Role::Text(key) => {
                let said = cell::label(columns, row, at, found);
                let said =
                    said.map(|text| Said { value: text.to_owned(), place: row.place(at), cell: Some(heading(at)) });
                match said {
                    Some(said) => entry.texts.push((key, said)),
                    None if !row.cell(at).is_empty() => entry.refused.push(key),
                    None if *key == "name" => {
                        cell::missing(columns, row, at, "give every clearance a name of its own", found);
                        entry.refused.push(key);
                    }
                    None => {}
                }
            }
            Role::Measured(measure) => match cell::value(columns, row, at, measure, found) {
                Value::Typed(value) => {
                    entry.amounts.push((measure.name, Said { value, place: row.place(at), cell: Some(heading(at)) }));
                }
                Value::Bad => entry.refused.push(measure.name),
                Value::Empty if ["reading", "minimum"].contains(&measure.name) => {
                    cell::missing(columns, row, at, "write what was read, and the least that may be left of it", found);
                    entry.refused.push(measure.name);
                }
                Value::Empty => {}
            },
            _ => {}
        }
    }
    entry
}
