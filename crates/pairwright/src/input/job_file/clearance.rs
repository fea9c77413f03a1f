//! `[[clearance]]`: clearances measured on the mock-up.

use pairwright_engine::quantity::Bound;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::walk::{Entry, Keys, Walk, entries};
use super::{Draft, Section};
use crate::diagnostic::{Code, Diagnostic};
use crate::input::ledger::{AMOUNTS, EntryDraft, Said, TEXTS};

const CLEARANCE: Keys = Keys { section: "a clearance", known: &KEYS, later: &[] };

const KEYS: [&str; TEXTS.len() + AMOUNTS.len()] = {
    let mut all = [""; TEXTS.len() + AMOUNTS.len()];
    let mut at = 0;
    while at < all.len() {
        all[at] = if at < TEXTS.len() { TEXTS[at] } else { AMOUNTS[at - TEXTS.len()] };
        at += 1;
    }
    all
};

/// Reads the sections.
pub(super) fn read(walk: &mut Walk<'_>, value: &Spanned<DeValue<'_>>, draft: &mut Draft) {
    let tables = match value.get_ref() {
        DeValue::Array(array) if array.iter().all(|item| item.get_ref().is_table()) => array,
        _ => {
            let item = Diagnostic::wrong(Code::JobType, "there can be several clearances: write `[[clearance]]`")
                .at(walk.place(value.span()), "")
                .help(
                    "put the word `clearance` into two pairs of brackets; a CSV file of them is named under `[readings]`",
                );
            walk.report(item);
            draft.refuse(Section::Readings);
            return;
        }
    };
    for item in tables {
        if let DeValue::Table(table) = item.get_ref() {
            let read = one(walk, table, item);
            draft.entries.push(read);
        }
    }
}

fn one(walk: &mut Walk<'_>, table: &DeTable<'_>, whole: &Spanned<DeValue<'_>>) -> EntryDraft {
    let mut entry = EntryDraft::new(walk.place(whole.span()), None);
    for inner in entries(table) {
        let known = |keys: &[&'static str]| keys.iter().copied().find(|known| *known == inner.key);
        if let Some(key) = known(TEXTS) {
            match walk.label(inner.key, inner.value, example(key)) {
                Some(text) if !text.value.is_empty() => {
                    entry.texts.push((key, Said { value: text.value, place: walk.place(text.span), cell: None }));
                }
                Some(_) => empty(walk, inner, &mut entry, key),
                None => entry.refused.push(key),
            }
        } else if let Some(key) = known(AMOUNTS) {
            let quantity = if key == "reading" { "clearance" } else { key };
            let place = walk.place(inner.value.span());
            match Bound::named(quantity).and_then(|bound| walk.amount(inner, bound)) {
                Some(value) => entry.amounts.push((key, Said { value, place, cell: None })),
                None => entry.refused.push(key),
            }
        } else {
            walk.check_key(inner, &CLEARANCE);
        }
    }
    for (key, what) in
        [("name", "has no name"), ("reading", "does not say what was read"), ("minimum", "has no minimum")]
    {
        if !entry.has(key) {
            let message = format!("{} {what}", entry.called());
            let item = Diagnostic::wrong(Code::JobMissingKey, message)
                .at(entry.at.place.clone(), "")
                .help(format!("add `{}`", example(key)));
            walk.report(item);
            entry.refused.push(key);
        }
    }
    entry
}

fn empty(walk: &mut Walk<'_>, inner: Entry<'_>, entry: &mut EntryDraft, key: &'static str) {
    let item = Diagnostic::wrong(Code::JobMissingKey, format!("`{key}` is empty"))
        .at(walk.place(inner.value.span()), "")
        .help(format!("write it as `{}`, or take it out", example(key)));
    walk.report(item);
    entry.refused.push(key);
}

fn example(key: &str) -> &'static str {
    match key {
        "name" => "name = \"intake 3 to piston\"",
        "of" => "of = \"piston to valve\"",
        "reading" => "reading = 0.112",
        "minimum" => "minimum = 0.080",
        "cylinder" => "cylinder = 3",
        "valve" => "valve = \"3i\"",
        "surface" => "surface = \"pocket\"",
        "cam" => "cam = \"the one in the boat\"",
        "per_deck" | "per_gasket" | "per_lift" => "per_deck = \"-0.97 in/in\"",
        "gasket" => "gasket = \"thin\"",
        "rod" => "rod = \"R1\"",
        "head" => "head = \"H1\"",
        _ => "piston = \"C\"",
    }
}
