//! `[readings]`.

use pairwright_engine::job::Positive;
use pairwright_engine::quantity::Bound;
use toml::de::DeValue;

use super::files::file_name;
use super::walk::{Entry, Keys, Walk, entries};
use super::{At, ChambersDraft, DeckDraft, Draft, Section};
use crate::diagnostic::{Code, Diagnostic};

const READINGS: Keys = Keys {
    section: "`[readings]`",
    known: &["deck", "chamber", "clearance"],
    later: &["lift", "lash", "bearing", "end_float"],
};

const DECK: Keys =
    Keys { section: "`deck`", known: &["file", "resolution", "repeatability", "positive", "rod"], later: &[] };

const CHAMBER: Keys = Keys { section: "`chamber`", known: &["file", "resolution", "repeatability"], later: &[] };

pub(super) fn read(walk: &mut Walk<'_>, entry: Entry<'_>, draft: &mut Draft) {
    let Some(table) = walk.table(entry, "[readings]") else {
        draft.refuse(Section::Readings);
        return;
    };
    for entry in entries(table) {
        if !walk.check_key(entry, &READINGS) {
            draft.refuse(Section::Readings);
            continue;
        }
        let read = match entry.key {
            "chamber" => {
                draft.chambers = chambers(walk, entry);
                draft.chambers.is_some()
            }
            "clearance" => {
                let file = walk.text(entry, "clearance = \"clearances.csv\"");
                draft.clearances = file.filter(|file| file_name(walk, file));
                draft.clearances.is_some()
            }
            _ => {
                draft.deck = deck(walk, entry);
                draft.deck.is_some()
            }
        };
        if !read {
            draft.refuse(Section::Readings);
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
        nameless(walk, entry);
    }
    deck.file = file?;
    file_name(walk, &deck.file).then_some(deck)
}

fn chambers(walk: &mut Walk<'_>, entry: Entry<'_>) -> Option<ChambersDraft> {
    let DeValue::Table(table) = entry.value.get_ref() else {
        let file = walk.text(entry, "chamber = \"chamber-readings.csv\"")?;
        return file_name(walk, &file).then_some(ChambersDraft { file, resolution: None, repeatability: None });
    };
    let (mut file, mut named, mut resolution, mut repeatability) = (None, false, None, None);
    for inner in entries(table) {
        if !walk.check_key(inner, &CHAMBER) {
            continue;
        }
        let stated = Bound::of_pours(inner.key);
        match inner.key {
            "file" => {
                named = true;
                file = walk.text(inner, "file = \"chamber-readings.csv\"");
            }
            "resolution" => resolution = stated.and_then(|bound| walk.amount(inner, bound)),
            _ => repeatability = stated.and_then(|bound| walk.amount(inner, bound)),
        }
    }
    if !named {
        nameless(walk, entry);
    }
    let file = file?;
    file_name(walk, &file).then_some(ChambersDraft { file, resolution, repeatability })
}

fn nameless(walk: &mut Walk<'_>, entry: Entry<'_>) {
    let item = Diagnostic::wrong(Code::JobMissingKey, format!("`{}` does not name its file", entry.key))
        .at(walk.place(entry.key_span()), "")
        .help(format!("add `file = \"{}-readings.csv\"`", entry.key));
    walk.report(item);
}
