//! How an entry moves: kinds, surfaces, sensitivities with their units.

use pairwright_engine::job::{Moves, Surface, Term};
use pairwright_engine::quantity::{Decimal, Dimension, Unit};

use super::draft::{EntryDraft, Said};
use crate::diagnostic::{Code, Collector, Diagnostic};
use crate::input::nearest::remedy;

/// The kinds whose moves are built in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    PistonToValve,
    RetainerToGuide,
    CoilBind,
}

const KINDS: [(&str, Kind); 3] = [
    ("piston to valve", Kind::PistonToValve),
    ("retainer to guide", Kind::RetainerToGuide),
    ("coil bind", Kind::CoilBind),
];

const SURFACES: [(&str, Surface); 2] = [("pocket", Surface::Pocket), ("flat", Surface::Flat)];

/// Keys of sensitivities, each with what it follows.
const PER: [(&str, &str); 3] =
    [("per_deck", "deck clearance"), ("per_gasket", "gasket thickness"), ("per_lift", "lift")];

/// The largest sensitivity, in millionths.
const MOST: i64 = 10 * Term::ONCE;

/// How an entry moves; `None` after a report.
pub(super) fn moves(entry: &EntryDraft, found: &mut Collector) -> Option<Moves> {
    let kind = match entry.text("of") {
        Some(said) => Some(word(said, "of", &KINDS, found)?),
        None if entry.refused.contains(&"of") => return None,
        None => None,
    };
    let surface = match entry.text("surface") {
        Some(said) => Some(word(said, "surface", &SURFACES, found)?),
        None if entry.refused.contains(&"surface") => return None,
        None => None,
    };
    let stated = PER.map(|(key, of)| entry.text(key).map(|said| sensitivity(said, key, of, found)));
    if stated.contains(&Some(None)) || PER.iter().any(|(key, _)| entry.refused.contains(key)) {
        return None;
    }
    if !belongs(entry, kind, found) {
        return None;
    }
    let [deck, gasket, lift] = stated.map(|stated| stated.flatten().unwrap_or(0));
    match kind {
        Some(Kind::PistonToValve) => Some(Moves::PistonToValve { surface, angle: angle(entry, found)? }),
        Some(Kind::RetainerToGuide) => Some(Moves::RetainerToGuide),
        Some(Kind::CoilBind) => Some(Moves::CoilBind),
        None if stated.iter().any(Option::is_some) => Some(Moves::Stated { deck, gasket, lift }),
        None => {
            let kinds = KINDS.map(|(word, _)| format!("`{word}`")).join(", ");
            let item = entry.at.wrong(Code::ClearanceMoves, format!("{} does not say how it moves", entry.called()));
            found.push(item.help(format!(
                "write `of` as one of {kinds}, or state what it gains, such as `per_deck` as `-0.97 in/in`"
            )));
            None
        }
    }
}

/// Reports a key that means nothing for the kind of the entry; `true` where there is none.
fn belongs(entry: &EntryDraft, kind: Option<Kind>, found: &mut Collector) -> bool {
    let of_valve: &[&str] = &["surface", "angle"];
    let of_lift: &[&str] = &["lift_there"];
    let stated = PER.map(|(key, _)| key);
    let (strange, what): (Vec<&str>, &str) = match kind {
        Some(Kind::PistonToValve) => (stated.to_vec(), "the way of piston to valve is built in"),
        Some(_) => (
            [&stated[..], of_valve, of_lift].concat(),
            "it loses the extra lift at the top of the lobe and nothing else",
        ),
        None => (of_valve.to_vec(), "only piston to valve has an angle and a surface"),
    };
    let place = |key: &str| {
        let text = entry.text(key).map(|said| said.wrong(Code::ClearanceMoves, ""));
        text.or_else(|| entry.amount(key).map(|said| said.wrong(Code::ClearanceMoves, "")))
    };
    let Some((key, item)) = strange.iter().find_map(|key| Some((key, place(key)?))) else { return true };
    let message = format!("`{key}` says nothing of {}: {what}", entry.called());
    found.push(Diagnostic { message, ..item }.help(format!("take `{key}` out, or correct `of`")));
    false
}

fn angle(entry: &EntryDraft, found: &mut Collector) -> Option<i64> {
    if let Some(said) = entry.amount("angle") {
        return Some(said.value.ticks());
    }
    if !entry.refused.contains(&"angle") {
        let message = format!("{} does not say the valve's angle to the bore", entry.called());
        found.push(entry.at.wrong(Code::ClearanceLacks, message).help("add `angle` in degrees, from 0 to 60"));
    }
    None
}

fn word<T: Copy>(said: &Said<String>, key: &str, words: &[(&str, T)], found: &mut Collector) -> Option<T> {
    let text = said.value.to_lowercase();
    let known = words.iter().find(|(word, _)| *word == text);
    if known.is_none() {
        let names: Vec<_> = words.iter().map(|(word, _)| *word).collect();
        let item = said.wrong(said.word_code(), format!("`{key}` cannot be `{}`", said.value));
        found.push(item.help(remedy(&text, &names, &format!("`{key}` takes"))));
    }
    known.map(|&(_, value)| value)
}

/// A sensitivity in millionths: `-0.97 in/in`, or `-0.97 in per in`. Units of one sort may differ.
fn sensitivity(said: &Said<String>, key: &str, of: &str, found: &mut Collector) -> Option<i64> {
    let example = format!("write what the clearance gains of a growth of {of}, a length per length: `-0.97 in/in`");
    let wrong = |message: String| said.wrong(Code::ClearanceUnit, message).help(example.clone());
    let text = said.value.trim();
    let cut = text.find(|c: char| c.is_alphabetic() && !matches!(c, 'e' | 'E')).unwrap_or(text.len());
    let (number, units) = (text[..cut].trim(), text[cut..].trim());
    let item = match (Decimal::parse(number, true), per(units)) {
        (_, Units::None) => wrong(format!("`{key}`: `{text}` has no unit")),
        (_, Units::Unknown) => wrong(format!("`{key}`: `{units}` is no length per length")),
        (_, Units::Other(one, other)) => {
            wrong(format!("`{key}`: `{units}` is a {one} per {other}, and this takes a length per length"))
        }
        (Err(_), _) => wrong(format!("`{key}`: `{number}` is not a number")),
        (Ok(decimal), Units::Lengths(of, per)) => match decimal.times((of.ticks().0 * Term::ONCE, per.ticks().0)) {
            Some((times, true)) if times.abs() <= MOST => return Some(times),
            Some((times, _)) if times.abs() <= MOST => wrong(format!("`{key}`: `{text}` has more than six decimals")),
            _ => wrong(format!("`{key}`: `{text}` is more than ten times the growth")),
        },
    };
    found.push(item);
    None
}

enum Units {
    None,
    Unknown,
    Other(Dimension, Dimension),
    Lengths(Unit, Unit),
}

/// `in/in`, `mm per mm`.
fn per(text: &str) -> Units {
    if text.is_empty() {
        return Units::None;
    }
    let split = text.split_once('/').or_else(|| text.split_once(" per "));
    let Some((of, per)) = split else { return Units::Unknown };
    match (Unit::from_symbol(of.trim()), Unit::from_symbol(per.trim())) {
        (Some(of), Some(per)) if (of.dimension(), per.dimension()) == (Dimension::Length, Dimension::Length) => {
            Units::Lengths(of, per)
        }
        (Some(of), Some(per)) => Units::Other(of.dimension(), per.dimension()),
        _ => Units::Unknown,
    }
}
