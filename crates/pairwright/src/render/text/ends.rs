//! What sets the spread.

use pairwright_engine::explain::{Immovable, SpreadEnds};
use pairwright_engine::job::FitName;
use pairwright_engine::plan::Plan;

use super::english::sentence;
use super::page::Page;
use super::words::Words;

/// Writes both ends of the spread and why neither can move inward.
pub(super) fn ends(page: &mut Page, words: Words<'_>, plan: &Plan, ends: Option<&SpreadEnds>) {
    page.heading("What sets the spread");
    let Some(ends) = ends else {
        page.say(&format!(
            "Nothing: {} is the same at every {}.",
            words.aim_fit().phrase(),
            words.view.position_kind()
        ));
        return;
    };
    let place = |position: usize| {
        let part =
            plan.placements.iter().find(|place| place.position == position).and_then(|place| place.parts.first());
        let with = part.map_or_else(String::new, |&part| format!(" with {}", words.part(part)));
        format!("{}{with}", words.position(position))
    };
    let value = |ticks| words.value(words.aim_fit(), ticks);
    page.say(&format!(
        "Lowest is {}, {}; highest is {}, {}.",
        place(ends.low),
        value(ends.low_value),
        place(ends.high),
        value(ends.high_value)
    ));
    let (low, high) = (words.position(ends.low), words.position(ends.high));
    page.item(&reason(words, &ends.low_immovable, &format!("{low}'s value"), "rise", &high));
    page.item(&reason(words, &ends.high_immovable, &format!("{high}'s value"), "fall", &low));
}

/// Why `what` cannot move the way of `verb` while the value at `other` stays.
fn reason(words: Words<'_>, immovable: &Immovable, what: &str, verb: &str, other: &str) -> String {
    let what = sentence(what);
    match immovable {
        Immovable::Competing { positions, parts } => {
            format!("{what} cannot {verb} while {other} stays: {}.", competing(words, positions, parts))
        }
        Immovable::OtherSpread => {
            format!("{what} cannot {verb} while {other} stays: {} stands in the way.", spread_limit(words))
        }
        Immovable::Outranked => {
            format!("{what} could {verb} while {other} stays, but only at the cost of what the aim puts first.")
        }
    }
}

/// Positions that would be left with too few parts.
fn competing(words: Words<'_>, positions: &[usize], parts: &[usize]) -> String {
    let who = words.positions(positions);
    match (positions.len(), parts.len()) {
        (0, _) => "no choice of parts is left".to_owned(),
        (_, 0) => format!("{who} would have no {} left to take", words.kind()),
        (1, _) => format!("{who} would have only {} to take", words.parts(parts)),
        _ => format!("{who} would have only {} between them", words.parts(parts)),
    }
}

/// The limits on the spread of fits other than the aim's.
fn spread_limit(words: Words<'_>) -> String {
    let limits = words.view.matching.limits.iter().filter(|limit| limit.spread.is_some());
    let other: Vec<&str> =
        limits.map(|limit| limit.fit).filter(|fit| *fit != words.aim_fit()).map(FitName::phrase).collect();
    match other.as_slice() {
        [only] => format!("the limit on the spread of {only}"),
        _ => "a limit on the spread of another fit".to_owned(),
    }
}
