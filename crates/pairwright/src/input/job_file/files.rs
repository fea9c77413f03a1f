//! The sections that name files, `[stock]` and `[positions]`; and `[uncertainty]`.

use pairwright_engine::quantity::Bound;

use super::walk::{Entry, Keys, Walk, entries};
use super::{At, Draft, FileDraft, Section};
use crate::diagnostic::{Code, Diagnostic};
use crate::input::nearest::remedy;
use crate::input::{kinds, positions as cylinders};

const STOCK: Keys = Keys {
    section: "`[stock]`",
    known: kinds::KINDS,
    later: &["rocker", "shell", "shim", "valve", "spring", "pushrod", "lifter", "pin", "bearing"],
};

const POSITIONS: Keys =
    Keys { section: "`[positions]`", known: &["cylinder"], later: &["valve", "bank", "journal", "head"] };

/// Sizes of `[engine]` that no file has a column for.
const ENGINE_SIZES: [&str; 2] = ["stroke", "rod_length"];

/// Columns of files that later versions read.
const LATER_COLUMNS: &[&str] = &["lobe_lift", "lash"];

pub(super) fn stock(walk: &mut Walk<'_>, entry: Entry<'_>, draft: &mut Draft) {
    let Some(table) = walk.table(entry, "[stock]") else {
        draft.refuse(Section::Stock);
        return;
    };
    for entry in entries(table) {
        match walk.check_key(entry, &STOCK).then(|| file(walk, entry)).flatten() {
            Some(file) => draft.stocks.push(file),
            None => draft.refuse(Section::Stock),
        }
    }
}

pub(super) fn positions(walk: &mut Walk<'_>, entry: Entry<'_>, draft: &mut Draft) {
    let Some(table) = walk.table(entry, "[positions]") else {
        draft.refuse(Section::Positions);
        return;
    };
    for entry in entries(table) {
        match walk.check_key(entry, &POSITIONS).then(|| file(walk, entry)).flatten() {
            Some(file) => draft.positions = Some(file),
            None => draft.refuse(Section::Positions),
        }
    }
}

fn file(walk: &mut Walk<'_>, entry: Entry<'_>) -> Option<FileDraft> {
    let file = walk.text(entry, &format!("{0} = \"{0}s.csv\"", entry.key))?;
    file_name(walk, &file).then(|| FileDraft { kind: entry.key_at(), file })
}

/// Reports a name with nothing in it.
pub(super) fn file_name(walk: &mut Walk<'_>, file: &At<String>) -> bool {
    if file.value.is_empty() {
        let item = Diagnostic::wrong(Code::JobMissingKey, "no file is named here")
            .at(walk.place(file.span.clone()), "")
            .help("write the name of a CSV file in the job's folder");
        walk.report(item);
    }
    !file.value.is_empty()
}

pub(super) fn uncertainty(walk: &mut Walk<'_>, entry: Entry<'_>, draft: &mut Draft) {
    let Some(table) = walk.table(entry, "[uncertainty]") else { return };
    for entry in entries(table) {
        let mut known: Vec<_> = cylinders::measured_columns().chain(kinds::quantities()).collect();
        let declared = draft.declared.columns.iter().map(|column| column.name);
        known.extend(ENGINE_SIZES);
        known.retain(|name| Bound::uncertainty_of(name).is_some());
        known.extend(declared.filter(|name| draft.declared.uncertainty_of(name).is_some()));
        known.sort_unstable();
        known.dedup();
        let place = walk.place(entry.key_span());
        let bound = Bound::uncertainty_of(entry.key).or_else(|| draft.declared.uncertainty_of(entry.key));
        match bound.filter(|_| known.contains(&entry.key)) {
            Some(bound) => {
                if let Some(amount) = walk.amount(entry, bound) {
                    draft.uncertainty.push((entry.key.to_owned(), amount));
                }
            }
            None if LATER_COLUMNS.contains(&entry.key) => {
                let item = Diagnostic::wrong(Code::JobNotYet, format!("`{}` is not supported yet", entry.key))
                    .at(place, "")
                    .help(format!("take it out for now; {}", remedy("", &known, "the columns known are")));
                walk.report(item);
            }
            None => {
                let item = Diagnostic::wrong(Code::JobUnknownKey, format!("no file has a column `{}`", entry.key))
                    .at(place, "")
                    .help(remedy(entry.key, &known, "write the column's name without its unit; the columns known are"));
                walk.report(item);
            }
        }
    }
}
