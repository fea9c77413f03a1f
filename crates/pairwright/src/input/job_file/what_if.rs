//! `[[what_if]]`.

use std::ops::Range;

use pairwright_engine::quantity::{Amount, Bound, Unit};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::walk::{Entry, Keys, Walk, entries};
use super::what_if_draft::Named;
use super::{
    AddDraft, At, ChamberDraft, CrownDraft, DeckCutDraft, Draft, LobeDraft, SwapDraft, WhatIfDraft, aim, limits,
    matching, pins,
};
use crate::diagnostic::{Code, Diagnostic};

const WHAT_IF: Keys = Keys {
    section: "`[[what_if]]`",
    known: &[
        "name",
        "with",
        "match",
        "fix",
        "swap",
        "without",
        "add",
        "deck",
        "crown",
        "chamber",
        "stroke",
        "rod_length",
        "lobe_lift",
        "limits",
        "even",
        "near",
        "highest",
        "lowest",
        "then",
        "price",
        "hours",
    ],
    later: &["offset", "bore"],
};

const DECK: Keys = Keys { section: "a cut deck", known: &["cut", "square"], later: &[] };
const CROWN: Keys = Keys { section: "a cut crown", known: &["cut", "dish_cc", "dish", "dish_diameter"], later: &[] };

/// Reads every what-if.
pub(super) fn read_all(walk: &mut Walk<'_>, value: &Spanned<DeValue<'_>>, draft: &mut Draft) {
    let tables = match value.get_ref() {
        DeValue::Array(array) if array.iter().all(|item| item.get_ref().is_table()) => array,
        _ => {
            let item = Diagnostic::wrong(Code::JobType, "there can be several what-ifs: write `[[what_if]]`")
                .at(walk.place(value.span()), "")
                .help("put the word `what_if` into two pairs of brackets");
            walk.report(item);
            return;
        }
    };
    for (index, item) in tables.iter().enumerate() {
        if let DeValue::Table(table) = item.get_ref() {
            let read = read(walk, table, item.span(), index);
            draft.what_ifs.push(read);
        }
    }
}

fn read(walk: &mut Walk<'_>, table: &DeTable<'_>, span: Range<usize>, index: usize) -> WhatIfDraft {
    let mut draft = empty(At { value: format!("what-if {}", index + 1), span: span.clone() });
    let all = entries(table);
    for &entry in &all {
        if walk.check_key(entry, &WHAT_IF) {
            key(walk, entry, &mut draft);
        }
    }
    if all.iter().any(|entry| aim::is_aim(entry.key)) {
        draft.aim = aim::read(walk, &all, span);
    }
    draft
}

fn empty(name: At<String>) -> WhatIfDraft {
    WhatIfDraft {
        span: name.span.clone(),
        name,
        with: Vec::new(),
        matching: None,
        fix: Vec::new(),
        swap: Vec::new(),
        without: Vec::new(),
        add: Vec::new(),
        decks: Vec::new(),
        crowns: Vec::new(),
        chambers: Vec::new(),
        stroke: None,
        rod_length: None,
        lobe_lift: Vec::new(),
        limits: Vec::new(),
        aim: None,
        then: None,
        price: None,
        hours: None,
    }
}

fn key(walk: &mut Walk<'_>, entry: Entry<'_>, draft: &mut WhatIfDraft) {
    match entry.key {
        "name" => {
            if let Some(name) = walk.text(entry, "name = \"thin gasket\"").filter(|name| !name.value.is_empty()) {
                draft.name = name;
            }
        }
        "with" => draft.with = labels(walk, entry, "with = [\"thin gasket\", \"heads swapped\"]"),
        "match" => draft.matching = walk.text(entry, "match = \"short block\""),
        "fix" => pins::read(walk, entry, &mut draft.fix),
        "swap" => swap(walk, entry, &mut draft.swap),
        "without" => by_kind(walk, entry, "without = { piston = [\"C\"] }", &mut draft.without),
        "add" => add(walk, entry, &mut draft.add),
        "deck" => deck(walk, entry, &mut draft.decks),
        "crown" => crown(walk, entry, &mut draft.crowns),
        "chamber" => chamber(walk, entry, &mut draft.chambers),
        "stroke" => draft.stroke = size(walk, entry),
        "rod_length" => draft.rod_length = size(walk, entry),
        "lobe_lift" => lobes(walk, entry, &mut draft.lobe_lift),
        "limits" => limits::read(walk, entry, &mut draft.limits),
        "then" => {
            let then = matching::then(walk, entry);
            let bare = |all: Vec<At<_>>| all.into_iter().map(|next| next.value).collect();
            draft.then = then.map(|all| At { value: bare(all), span: entry.value.span() });
        }
        "price" => draft.price = Bound::named("price").and_then(|bound| walk.amount(entry, bound)),
        "hours" => draft.hours = Bound::work("hours").and_then(|bound| walk.amount(entry, bound)),
        _ => {}
    }
}

fn size(walk: &mut Walk<'_>, entry: Entry<'_>) -> Option<At<Amount>> {
    let value = Bound::named(entry.key).and_then(|bound| walk.amount(entry, bound))?;
    Some(At { value, span: entry.value.span() })
}

/// A list of labels, or one.
fn labels(walk: &mut Walk<'_>, entry: Entry<'_>, example: &str) -> Vec<At<String>> {
    match entry.value.get_ref() {
        DeValue::Array(array) => array.iter().filter_map(|item| walk.label(entry.key, item, example)).collect(),
        _ => walk.label(entry.key, entry.value, example).into_iter().collect(),
    }
}

fn by_kind(walk: &mut Walk<'_>, entry: Entry<'_>, example: &str, into: &mut Vec<Named>) {
    let Some(table) = walk.table(entry, example) else { return };
    for inner in entries(table) {
        let named = labels(walk, inner, example);
        into.extend(named.into_iter().map(|label| (inner.key_at(), label)));
    }
}

fn swap(walk: &mut Walk<'_>, entry: Entry<'_>, into: &mut Vec<SwapDraft>) {
    let example = "swap = { head = [\"left\", \"right\"] }";
    let Some(table) = walk.table(entry, example) else { return };
    for inner in entries(table) {
        let banks = labels(walk, inner, example);
        match <[At<String>; 2]>::try_from(banks) {
            Ok(banks) => into.push(SwapDraft { kind: inner.key_at(), banks }),
            Err(_) => walk.wrong_type(inner.key, inner.value, "two banks", example),
        }
    }
}

fn add(walk: &mut Walk<'_>, entry: Entry<'_>, into: &mut Vec<AddDraft>) {
    let example = "add = { piston = [\"L\", \"M\"] }";
    let Some(table) = walk.table(entry, example) else { return };
    for inner in entries(table) {
        let kind = inner.key_at();
        if let DeValue::Array(_) = inner.value.get_ref() {
            let named = labels(walk, inner, example);
            into.extend(named.into_iter().map(|label| AddDraft::Part((kind.clone(), label))));
        } else if let Some(file) = walk.text(inner, &format!("add = {{ {0} = \"more-{0}s.csv\" }}", inner.key))
            && super::files::file_name(walk, &file)
        {
            into.push(AddDraft::File { kind, file });
        }
    }
}

fn deck(walk: &mut Walk<'_>, entry: Entry<'_>, into: &mut Vec<DeckCutDraft>) {
    let example = "deck = { left = \"square\", right = { cut = 0.004 } }";
    let Some(table) = walk.table(entry, example) else { return };
    for inner in entries(table) {
        let bank = inner.key_at();
        match inner.value.get_ref() {
            DeValue::String(text) if text.trim() == "square" => {
                into.push(DeckCutDraft { bank, cut: None, square: true });
            }
            DeValue::Table(table) => {
                let (mut cut, mut square) = (None, false);
                for inner in entries(table) {
                    match inner.key {
                        _ if !walk.check_key(inner, &DECK) => {}
                        "cut" => cut = self::cut(walk, inner).map(|cut| cut.value),
                        _ => square = walk.flag(inner).unwrap_or(false),
                    }
                }
                into.push(DeckCutDraft { bank, cut, square });
            }
            _ => {
                if let Some(cut) = cut(walk, inner) {
                    into.push(DeckCutDraft { bank, cut: Some(cut.value), square: false });
                }
            }
        }
    }
}

fn cut(walk: &mut Walk<'_>, entry: Entry<'_>) -> Option<At<Amount>> {
    let value = Bound::work("cut").and_then(|bound| walk.amount(entry, bound))?;
    Some(At { value, span: entry.value.span() })
}

fn crown(walk: &mut Walk<'_>, entry: Entry<'_>, into: &mut Vec<CrownDraft>) {
    let example = "crown = { C = 0.002 }";
    let Some(table) = walk.table(entry, example) else { return };
    for inner in entries(table) {
        let piston = inner.key_at();
        let DeValue::Table(table) = inner.value.get_ref() else {
            if let Some(cut) = cut(walk, inner) {
                into.push(CrownDraft { piston, cut, dish: None, diameter: None });
            }
            continue;
        };
        let (mut off, mut dish, mut diameter) = (None, None, None);
        let all = entries(table);
        for &inner in &all {
            let volume = || Bound::named("dish");
            match inner.key {
                _ if !walk.check_key(inner, &CROWN) => {}
                "cut" => off = cut(walk, inner),
                "dish_cc" => dish = volume().and_then(|bound| walk.amount_in(inner, bound, Unit::CubicCentimetre)),
                "dish" => dish = volume().and_then(|bound| walk.amount(inner, bound)),
                _ => diameter = Bound::work("dish_diameter").and_then(|bound| walk.amount(inner, bound)),
            }
        }
        match off {
            Some(cut) => into.push(CrownDraft { piston, cut, dish, diameter }),
            None if all.iter().any(|inner| inner.key == "cut") => {}
            None => {
                let item = Diagnostic::wrong(Code::JobMissingKey, "nothing says how much comes off the crown")
                    .at(walk.place(inner.value.span()), "")
                    .help("add `cut`, as in `crown = { C = { cut = 0.002, dish_cc = 3.0 } }`");
                walk.report(item);
            }
        }
    }
}

fn chamber(walk: &mut Walk<'_>, entry: Entry<'_>, into: &mut Vec<ChamberDraft>) {
    let example = "chamber = { H1 = \"-0.5 cc\" }";
    let Some(table) = walk.table(entry, example) else { return };
    let Some(change) = Bound::work("change") else { return };
    for outer in entries(table) {
        if let DeValue::Table(table) = outer.value.get_ref() {
            for inner in entries(table) {
                if let Some(by) = walk.amount(inner, change) {
                    into.push(ChamberDraft { head: outer.key_at(), chamber: Some(inner.key_at()), by });
                }
            }
        } else if let Some(by) = walk.amount(outer, change) {
            into.push(ChamberDraft { head: outer.key_at(), chamber: None, by });
        }
    }
}

fn lobes(walk: &mut Walk<'_>, entry: Entry<'_>, into: &mut Vec<LobeDraft>) {
    let Some(bound) = Bound::named("lobe_lift") else { return };
    let mut push = |walk: &mut Walk<'_>, entry: Entry<'_>, position: Option<At<String>>| {
        if let Some(value) = walk.amount(entry, bound) {
            into.push(LobeDraft { position, lift: At { value, span: entry.value.span() } });
        }
    };
    match entry.value.get_ref() {
        DeValue::Table(table) => {
            for inner in entries(table) {
                push(walk, inner, Some(inner.key_at()));
            }
        }
        _ => push(walk, entry, None),
    }
}
