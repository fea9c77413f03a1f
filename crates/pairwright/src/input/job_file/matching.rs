//! `[[match]]`.

use std::ops::Range;

use pairwright_engine::job::{FitName, Next};
use toml::de::{DeTable, DeValue};

use super::walk::{Entry, Keys, Walk, entries};
use super::{At, MatchDraft, aim, buying, limits, pins, place};
use crate::diagnostic::{Code, Diagnostic};
use crate::input::nearest::remedy;
use crate::input::sheet::normal;

const MATCH: Keys = Keys {
    section: "`[[match]]`",
    known: &[
        "name",
        "place",
        "positions",
        "only",
        "gasket",
        "even",
        "near",
        "highest",
        "lowest",
        "first",
        "then",
        "spend",
        "limits",
        "keep",
        "bar",
    ],
    later: &["where", "count", "budget"],
};

/// Fits that later versions know.
pub(super) const LATER_FITS: &[&str] = &["lash", "piston_to_valve"];

pub(super) fn read(walk: &mut Walk<'_>, table: &DeTable<'_>, span: Range<usize>, index: usize) -> MatchDraft {
    let mut draft = MatchDraft {
        name: At { value: format!("match {}", index + 1), span: span.clone() },
        span: span.clone(),
        place: Vec::new(),
        called: Vec::new(),
        positions: None,
        only: Vec::new(),
        gasket_per_bank: None,
        aim: None,
        first: Vec::new(),
        then: None,
        spend: None,
        limits: Vec::new(),
        keep: Vec::new(),
        bar: Vec::new(),
    };
    let all = entries(table);
    for &entry in &all {
        if !walk.check_key(entry, &MATCH) {
            continue;
        }
        match entry.key {
            "name" => {
                if let Some(name) = walk.text(entry, "name = \"short block\"").filter(|name| !name.value.is_empty()) {
                    draft.name = name;
                }
            }
            "place" => (draft.place, draft.called) = place::read(walk, entry),
            "positions" => draft.positions = walk.text(entry, "positions = \"valve\""),
            "only" => draft.only = only(walk, entry),
            "gasket" => {
                let per_bank = walk.word(entry, &[("per bank", true), ("one for the engine", false)]);
                draft.gasket_per_bank = per_bank.map(|value| At { value, span: entry.value.span() });
            }
            "first" => draft.first = buying::first(walk, entry),
            "then" => draft.then = then(walk, entry),
            "spend" => draft.spend = buying::spend(walk, entry),
            "limits" => limits::read(walk, entry, &mut draft.limits),
            "keep" => pins::read(walk, entry, &mut draft.keep),
            "bar" => pins::read(walk, entry, &mut draft.bar),
            _ => {}
        }
    }
    if !all.iter().any(|entry| entry.key == "place") {
        let item =
            Diagnostic::wrong(Code::JobMissingKey, format!("match `{}` does not say what to place", draft.name.value))
                .at(walk.place(span.clone()), "")
                .help(format!("add `{}`", walk.place_example()));
        walk.report(item);
    }
    draft.aim = aim::read(walk, &all, span);
    draft
}

fn only(walk: &mut Walk<'_>, entry: Entry<'_>) -> Vec<(At<String>, At<String>)> {
    let example = "only = { port = \"intake\" }";
    let Some(table) = walk.table(entry, example) else { return Vec::new() };
    let mut all = Vec::new();
    for inner in entries(table) {
        if let Some(word) = walk.label(inner.key, inner.value, example) {
            let column = At { value: normal(inner.key), ..inner.key_at() };
            all.push((column, word));
        }
    }
    all
}

/// The fit called `name`; reports one that is not known, or not yet.
pub(super) fn fit(walk: &mut Walk<'_>, name: &At<String>) -> Option<FitName> {
    let fit = walk.fits.named(&name.value);
    if fit.is_none() && !walk.fits_hidden {
        let fits = walk.fits.clone();
        let known: Vec<_> = fits.all().map(|fit| fits.name(fit)).collect();
        let place = walk.place(name.span.clone());
        let item = if LATER_FITS.contains(&name.value.as_str()) {
            Diagnostic::wrong(Code::JobNotYet, format!("the fit `{}` is not supported yet", name.value))
                .help(format!("take it out for now; {}", remedy("", &known, "the fits supported are")))
        } else {
            Diagnostic::wrong(Code::JobWord, format!("there is no fit `{}`", name.value)).help(remedy(
                &name.value,
                &known,
                "the fits are",
            ))
        };
        walk.report(item.at(place, ""));
    }
    fit
}

pub(super) fn then(walk: &mut Walk<'_>, entry: Entry<'_>) -> Option<Vec<At<Next>>> {
    let example = "then = [\"mass\", \"moves\"]";
    let DeValue::Array(array) = entry.value.get_ref() else {
        walk.wrong_type(entry.key, entry.value, "a list of words", example);
        return None;
    };
    let mut all: Vec<At<Next>> = Vec::new();
    for item in array {
        let Some(word) = walk.label(entry.key, item, example) else { continue };
        let named = word.value.as_str();
        let next = buying::word(named).or_else(|| match walk.fits.named(named) {
            None if LATER_FITS.contains(&named) => fit(walk, &word).map(Next::Spread),
            known => known.map(Next::Spread),
        });
        match next {
            Some(value) => all.push(At { value, span: word.span }),
            None if walk.fits_hidden || LATER_FITS.contains(&word.value.as_str()) => {}
            None => {
                let fits = walk.fits.clone();
                let mut known: Vec<_> = fits.all().map(|fit| fits.name(fit)).collect();
                known.extend(buying::WORDS.map(|(word, _)| word));
                let item = Diagnostic::wrong(Code::JobWord, format!("`then` cannot hold `{}`", word.value))
                    .at(walk.place(word.span), "")
                    .help(remedy(&word.value, &known, "`then` takes"));
                walk.report(item);
            }
        }
    }
    Some(all)
}
