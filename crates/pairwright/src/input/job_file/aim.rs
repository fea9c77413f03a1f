//! The aim of a match: one of `even`, `near`, `highest`, `lowest`.

use std::ops::Range;

use pairwright_engine::job::{Aim, FitName, Goal, Measured};
use pairwright_engine::quantity::{Amount, Bound};
use toml::de::{DeTable, DeValue};

use super::At;
use super::matching::fit;
use super::walk::{Entry, Keys, Walk, entries};
use crate::diagnostic::{Code, Diagnostic};

const AIMS: [&str; 4] = ["even", "near", "highest", "lowest"];

const AIM: Keys = Keys { section: "an aim", known: &["fit", "by", "value", "slack"], later: &[] };

/// Whether a key states an aim.
pub(super) fn is_aim(key: &str) -> bool {
    AIMS.contains(&key)
}

pub(super) fn read(walk: &mut Walk<'_>, all: &[Entry<'_>], section: Range<usize>) -> Option<At<Aim>> {
    let aims: Vec<_> = all.iter().filter(|entry| AIMS.contains(&entry.key)).collect();
    match aims[..] {
        [] => {
            let item =
                Diagnostic::wrong(Code::MatchAim, "the match has no aim").at(walk.place(section), "").help(format!(
                    "add one of `even`, `near`, `highest`, `lowest`, as in `even = \"{}\"`",
                    walk.fit_example("deck")
                ));
            walk.report(item);
            None
        }
        [one] => aim(walk, *one).map(|value| At { value, span: one.key_span.0..one.value.span().end }),
        [first, second, ..] => {
            let item =
                Diagnostic::wrong(Code::MatchAim, format!("a match has one aim, and this one has {}", aims.len()))
                    .at(walk.place(second.key_span()), "a second aim")
                    .at(walk.place(first.key_span()), "the first")
                    .help("keep one of them; the other may follow it, as in `then = [\"mass\"]`");
            walk.report(item);
            None
        }
    }
}

fn aim(walk: &mut Walk<'_>, entry: Entry<'_>) -> Option<Aim> {
    match entry.value.get_ref() {
        DeValue::String(text) if entry.key == "near" => {
            let known = walk.fits.named(text.trim()).is_some();
            let fit = if known { text.trim().to_owned() } else { walk.fit_example("deck") };
            let example = format!("near = {{ fit = \"{fit}\", value = 0.005 }}");
            walk.wrong_type(entry.key, entry.value, "a fit and a value", &example);
            None
        }
        DeValue::String(text) => {
            let name = At { value: text.trim().to_owned(), span: entry.value.span() };
            let goal = match entry.key {
                "even" => Goal::Even,
                "highest" => Goal::Highest,
                _ => Goal::Lowest,
            };
            Some(Aim { fit: fit(walk, &name)?, goal, by: usual(entry.key), slack: None })
        }
        DeValue::Table(table) => long(walk, entry, table),
        _ => {
            let example = format!("{} = \"{}\"", entry.key, walk.fit_example("deck"));
            walk.wrong_type(entry.key, entry.value, "the name of a fit", &example);
            None
        }
    }
}

/// How an aim is judged unless `by` says otherwise.
fn usual(aim: &str) -> Measured {
    match aim {
        "even" => Measured::Spread,
        "near" => Measured::Worst,
        _ => Measured::Total,
    }
}

/// What `by` may say.
fn judged(aim: &str) -> [(&'static str, Measured); 2] {
    match aim {
        "even" => [("spread", Measured::Spread), ("squares", Measured::Squares)],
        "near" => [("worst", Measured::Worst), ("squares", Measured::Squares)],
        "highest" => [("total", Measured::Total), ("least", Measured::Extreme)],
        _ => [("total", Measured::Total), ("greatest", Measured::Extreme)],
    }
}

fn long(walk: &mut Walk<'_>, entry: Entry<'_>, table: &DeTable<'_>) -> Option<Aim> {
    let all = entries(table);
    let key = |name: &str| all.iter().copied().find(|inner| inner.key == name);
    for &inner in &all {
        walk.check_key(inner, &AIM);
    }
    let by = match key("by") {
        Some(inner) => walk.word(inner, &judged(entry.key)),
        None => Some(usual(entry.key)),
    };
    let Some(fit_entry) = key("fit") else {
        walk.report(
            Diagnostic::wrong(Code::JobMissingKey, format!("`{}` does not say which fit", entry.key))
                .at(walk.place(entry.key_span()), "")
                .help(format!("add `fit = \"{}\"`", walk.fit_example("deck"))),
        );
        return None;
    };
    let name = walk.text(fit_entry, &format!("fit = \"{}\"", walk.fit_example("deck")))?;
    let fit = fit(walk, &name)?;
    let slack = match key("slack") {
        Some(inner) => Some(slack(walk, inner, fit)?),
        None => None,
    };
    Some(Aim { fit, goal: goal(walk, entry, key("value"), fit)?, by: by?, slack })
}

fn slack(walk: &mut Walk<'_>, entry: Entry<'_>, fit: FitName) -> Option<Amount> {
    Bound::difference("slack", walk.fits.dimension(fit)).and_then(|bound| walk.amount(entry, bound))
}

fn goal(walk: &mut Walk<'_>, entry: Entry<'_>, value: Option<Entry<'_>>, fit: FitName) -> Option<Goal> {
    match (entry.key, value) {
        ("near", Some(value)) => walk.value_bound(fit).and_then(|bound| walk.amount(value, bound)).map(Goal::Near),
        ("near", None) => {
            let item = Diagnostic::wrong(Code::JobMissingKey, "`near` does not say which value")
                .at(walk.place(entry.key_span()), "")
                .help("add `value` with the value to come close to; deck clearance is positive above the deck");
            walk.report(item);
            None
        }
        (_, Some(value)) => {
            let item = Diagnostic::wrong(Code::JobUnknownKey, format!("`{}` takes no value", entry.key))
                .at(walk.place(value.key_span()), "")
                .help("take it out, or write `near` in place of the aim");
            walk.report(item);
            None
        }
        ("even", None) => Some(Goal::Even),
        ("highest", None) => Some(Goal::Highest),
        _ => Some(Goal::Lowest),
    }
}
