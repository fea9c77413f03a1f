//! The sections that name files, `[stock]` and `[positions]`; and `[uncertainty]`.

use pairwright_engine::job::CYLINDER;
use pairwright_engine::quantity::Bound;

use super::walk::{Entry, Walk, entries};
use super::{At, Draft, FileDraft, Section};
use crate::diagnostic::{Code, Diagnostic};
use crate::input::nearest::{nearest, remedy};
use crate::input::{kinds, positions as cylinders};
use crate::noun::plural;

/// Sizes of `[engine]` that no file has a column for.
const ENGINE_SIZES: [&str; 2] = ["stroke", "rod_length"];

pub(super) fn stock(walk: &mut Walk<'_>, entry: Entry<'_>, draft: &mut Draft) {
    let Some(table) = walk.table(entry, "[stock]") else {
        draft.refuse(Section::Stock);
        return;
    };
    for entry in entries(table) {
        match is_kind(walk, entry, "`[stock]`", "piston").then(|| file(walk, entry)).flatten() {
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
        match is_kind(walk, entry, "`[positions]`", CYLINDER).then(|| file(walk, entry)).flatten() {
            Some(file) => draft.positions.push(file),
            None => draft.refuse(Section::Positions),
        }
    }
}

/// Reports a key that is no plain word: kinds are written into output, plan files and messages.
fn is_kind(walk: &mut Walk<'_>, entry: Entry<'_>, section: &str, example: &str) -> bool {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
    let is_plain = entry.key.starts_with(|c: char| c.is_ascii_lowercase()) && entry.key.chars().all(plain);
    if !is_plain {
        let message = format!("{section} has no kind `{}`", entry.key);
        let item = Diagnostic::wrong(Code::JobUnknownKey, message)
            .at(walk.place(entry.key_span()), "")
            .help(format!("a kind is one plain word in small letters, such as `{example}`"));
        walk.report(item);
    }
    is_plain
}

/// Reports stocks of kinds of the job's own that no match places, and positions that are called nearly like cylinders:
/// both are mostly a known word misspelt.
pub(super) fn check_kinds(walk: &mut Walk<'_>, draft: &mut Draft) {
    let placed = |kind: &str| draft.matches.iter().any(|one| one.place.iter().any(|placed| placed.value == kind));
    // A match that does not say what it places has been reported, and may place anything.
    let open = draft.matches.iter().any(|one| one.place.is_empty());
    let strange = |kind: &str| !kinds::KINDS.contains(&kind) && !placed(kind) && !open;
    let (strange, known): (Vec<_>, Vec<_>) =
        std::mem::take(&mut draft.stocks).into_iter().partition(|file| strange(&file.kind.value));
    for file in strange {
        let kind = &file.kind.value;
        let item = Diagnostic::wrong(Code::JobUnknownKey, format!("no match places a `{kind}`"))
            .at(walk.place(file.kind.span.clone()), "")
            .help(remedy(
                kind,
                kinds::KINDS,
                "take the stock out, or name its kind in a `place`; kinds with columns of their own are",
            ));
        walk.report(item);
        draft.refuse(Section::Stock);
    }
    draft.stocks = known;
    let cylinders = |kind: &str| kind != CYLINDER && nearest(kind, [CYLINDER]).is_some();
    if let Some(at) = draft.positions.iter().position(|file| cylinders(&file.kind.value)) {
        let file = draft.positions.remove(at);
        let item = Diagnostic::wrong(Code::JobUnknownKey, format!("`{}` is nearly `{CYLINDER}`", file.kind.value))
            .at(walk.place(file.kind.span), "")
            .help(format!("did you mean `{CYLINDER}`?"));
        walk.report(item);
        draft.refuse(Section::Positions);
    }
}

fn file(walk: &mut Walk<'_>, entry: Entry<'_>) -> Option<FileDraft> {
    let file = walk.text(entry, &format!("{} = \"{}.csv\"", entry.key, plural(entry.key)))?;
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
        let Some(bound) = bound.filter(|_| known.contains(&entry.key)) else {
            let item = Diagnostic::wrong(Code::JobUnknownKey, format!("nothing uses a column `{}`", entry.key))
                .at(place, "")
                .help(remedy(entry.key, &known, "write the column's name without its unit; the columns known are"));
            walk.report(item);
            continue;
        };
        if let Some(amount) = walk.amount(entry, bound) {
            draft.uncertainty.push((entry.key.to_owned(), amount));
        }
    }
}
