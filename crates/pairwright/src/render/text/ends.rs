//! What sets the spread.

use pairwright_engine::explain::{Immovable, SpreadEnds};
use pairwright_engine::job::Goal;
use pairwright_engine::plan::Plan;

use super::page::Page;
use super::words::Words;

/// Writes both ends of the spread and why neither can move inward.
pub(super) fn ends(page: &mut Page, words: Words<'_>, plan: &Plan, ends: Option<&SpreadEnds>) {
    if words.view.matching.aim.goal != Goal::Even {
        return;
    }
    page.heading("What sets the spread");
    let Some(ends) = ends else {
        page.say(&format!(
            "Nothing: {} is the same at every {}.",
            words.phrase(words.aim_fit()),
            words.view.position_kind()
        ));
        return;
    };
    let place = |position: usize| {
        let place = plan.placements.iter().find(|place| place.position == position);
        if !words.view.of_one_kind().is_empty() {
            let parts = place.map_or(&[][..], |place| &place.parts);
            return format!("{} with {}", words.position(position), words.parts(parts));
        }
        let part = place.and_then(|place| words.view.first_part(place));
        let with = part.map_or_else(String::new, |part| format!(" with {}", words.part(part)));
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
    let (low, high) = (value(ends.low_value), value(ends.high_value));
    let (range, every) = (format!("between {low} and {high}"), words.view.position_kind());
    if let Some(planned) = words.others_as_planned() {
        page.say(&format!("With {planned} as planned:"));
    }
    page.item(&reason(
        words,
        &ends.low_immovable,
        &format!("No choice keeps every {every} {range} without touching {low}"),
    ));
    page.item(&reason(
        words,
        &ends.high_immovable,
        &format!("No choice keeps every {every} {range} without touching {high}"),
    ));
}

/// Why nothing lies in the range with one of its ends left out.
fn reason(words: Words<'_>, immovable: &Immovable, nothing: &str) -> String {
    match immovable {
        Immovable::Competing { positions, parts } => format!("{nothing}: {}.", competing(words, positions, parts)),
        Immovable::Undecided => "The search ended before it was found out whether this end could move.".to_owned(),
        Immovable::OtherSpread => format!("{nothing}: {} stands in the way.", spread_limit(words)),
        Immovable::Outranked => format!(
            "{}, but at the cost of what is asked for first.",
            nothing.replacen("No choice keeps", "A choice could keep", 1)
        ),
    }
}

/// Positions that would be left with too few parts.
fn competing(words: Words<'_>, positions: &[usize], parts: &[usize]) -> String {
    let who = words.positions(positions);
    match (positions.len(), parts.len()) {
        (0, _) => "no choice of parts is left".to_owned(),
        (_, 0) => format!("{who} would have no {} to take that lies there", words.kind()),
        (1, _) => format!("{who} would have only {} to take that lie there", words.parts(parts)),
        _ => format!("{who} would have only {} to share that lie there", words.parts(parts)),
    }
}

/// The limits on the spread of fits other than the aim's.
fn spread_limit(words: Words<'_>) -> String {
    let limits = words.view.matching.limits.iter().filter(|limit| limit.spread.is_some());
    let other: Vec<&str> =
        limits.map(|limit| limit.fit).filter(|fit| *fit != words.aim_fit()).map(|fit| words.phrase(fit)).collect();
    match other.as_slice() {
        [only] => format!("the limit on the spread of {only}"),
        _ => "a limit on the spread of another fit".to_owned(),
    }
}
