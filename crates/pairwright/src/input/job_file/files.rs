//! The sections that name files: `[stock]`, `[positions]`, `[readings]`; and `[uncertainty]`.

use pairwright_engine::job::Positive;
use pairwright_engine::quantity::Bound;
use toml::de::DeValue;

use super::walk::{Entry, Keys, Walk, entries};
use super::{At, DeckDraft, Draft, FileDraft, Section};
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

const READINGS: Keys =
    Keys { section: "`[readings]`", known: &["deck"], later: &["lift", "lash", "chamber", "bearing", "end_float"] };

const DECK: Keys =
    Keys { section: "`deck`", known: &["file", "resolution", "repeatability", "positive", "rod"], later: &[] };

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
fn file_name(walk: &mut Walk<'_>, file: &At<String>) -> bool {
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
        known.extend(ENGINE_SIZES);
        known.retain(|name| Bound::uncertainty_of(name).is_some());
        known.sort_unstable();
        known.dedup();
        let place = walk.place(entry.key_span());
        match Bound::uncertainty_of(entry.key).filter(|_| known.contains(&entry.key)) {
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

pub(super) fn readings(walk: &mut Walk<'_>, entry: Entry<'_>, draft: &mut Draft) {
    let Some(table) = walk.table(entry, "[readings]") else {
        draft.refuse(Section::Readings);
        return;
    };
    for entry in entries(table) {
        match walk.check_key(entry, &READINGS).then(|| deck(walk, entry)).flatten() {
            Some(deck) => draft.deck = Some(deck),
            None => draft.refuse(Section::Readings),
        }
    }
}

const DECK_EXAMPLE: &str = "deck = \"deck-readings.csv\"";

fn deck(walk: &mut Walk<'_>, entry: Entry<'_>) -> Option<DeckDraft> {
    let nothing = At { value: String::new(), span: entry.value.span() };
    let mut deck =
        DeckDraft { file: nothing, resolution: None, repeatability: None, positive: Positive::Above, rod: None };
    let DeValue::Table(table) = entry.value.get_ref() else {
        deck.file = walk.text(entry, DECK_EXAMPLE)?;
        return file_name(walk, &deck.file).then_some(deck);
    };
    let mut file = None;
    let mut named = false;
    for inner in entries(table) {
        if !walk.check_key(inner, &DECK) {
            continue;
        }
        match inner.key {
            "file" => {
                named = true;
                file = walk.text(inner, "file = \"deck-readings.csv\"");
            }
            "positive" => {
                let words = [("above", Positive::Above), ("below", Positive::Below)];
                deck.positive = walk.word(inner, &words).unwrap_or_default();
            }
            "rod" => deck.rod = walk.label(inner.key, inner.value, "rod = \"R1\""),
            "resolution" => deck.resolution = Bound::named(inner.key).and_then(|bound| walk.amount(inner, bound)),
            _ => deck.repeatability = Bound::named(inner.key).and_then(|bound| walk.amount(inner, bound)),
        }
    }
    if !named {
        let item = Diagnostic::wrong(Code::JobMissingKey, "`deck` does not name its file")
            .at(walk.place(entry.key_span()), "")
            .help("add `file = \"deck-readings.csv\"`");
        walk.report(item);
    }
    deck.file = file?;
    file_name(walk, &deck.file).then_some(deck)
}
