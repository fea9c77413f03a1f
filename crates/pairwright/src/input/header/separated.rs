//! What separates the columns of a file.

use crate::diagnostic::{Code, Collector, Diagnostic, Source};
use crate::input::sheet::{Sheet, normal};
use crate::input::table::{Separator, Table};

/// What separates the columns, decided on the header line and only where it is certain.
pub(super) fn separator(source: &Source, sheet: &Sheet<'_>, found: &mut Collector) -> Option<Separator> {
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

/// Reports rows that are separated by another sign than the header; `true` where the first row shows it.
pub(super) fn rows_differ(table: &Table<'_>, found: &mut Collector) -> bool {
    let headings = table.header.len();
    let mut rows = table.rows();
    if headings < 2 || !rows.advance() || !rows.advance() {
        return false;
    }
    let row = rows.row();
    let line = table.source.text().get(row.start..).and_then(|rest| rest.lines().next()).unwrap_or("");
    if row.len() == headings || line.contains('"') {
        return false;
    }
    let cells = |separator: Separator| line.split(char::from(separator.byte())).count();
    let Some(other) = Separator::ALL.into_iter().find(|&other| other != table.separator && cells(other) == headings)
    else {
        return false;
    };
    let header = table.header[0].span.start..table.header[headings - 1].span.end;
    let (above, below) = (table.separator.word(), other.word());
    let message = format!("the header is separated by {above} and the rows by {below}");
    let item = Diagnostic::wrong(Code::CsvSeparator, message)
        .at(table.source.place_on(table.line, header), above)
        .at(row.place_of(row.start..row.start + line.trim_end().len()), below)
        .help(format!("write {below} into the header too, or save the whole file again with one separator"));
    found.push(item);
    true
}
