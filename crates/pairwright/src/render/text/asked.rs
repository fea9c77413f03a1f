//! What was asked, in words.

use pairwright_engine::job::{CYLINDER, Goal, Measured, Next, Pin, Scope};

use super::english::{self, GLUE};
use super::page::Page;
use super::shopping::money;
use super::words::{Words, label};

/// What the match was asked for: aim, what decides after it, what is kept and barred.
pub(super) fn asked(page: &mut Page, words: Words<'_>) {
    let matching = words.view.matching;
    let place = placed(words);
    page.plain(&format!("Asked: {place}, {}{}{}.", before(words), aim(words), slack(words)));
    page.plain(&format!("Between plans equally good by that: {}{}.", next(words), among(words)));
    if let Some(spend) = matching.buying.spend {
        page.plain(&format!("To be spent: {} at most, in all.", money(spend.ticks())));
    }
    if let Some(kept) = pins(words, &matching.keep) {
        page.plain(&format!("Kept: {kept}."));
    }
    if let Some(barred) = pins(words, &matching.bar) {
        page.plain(&format!("Barred: {barred}."));
    }
}

/// What those plans are compared among, where it is not all of them.
fn among(words: Words<'_>) -> String {
    if words.view.of_one_kind().is_empty() {
        return String::new();
    }
    let kinds = english::plural(words.view.first_kind());
    format!(
        " (each compared over all choices that are as good so far; where that takes too long, settled with the {kinds} of one \
         place after the other, those of the others staying)"
    )
}

/// `pistons and rods into cylinders, heads onto banks, one gasket for the engine`.
fn placed(words: Words<'_>) -> String {
    let matching = words.view.matching;
    let several = words.view.of_one_kind();
    if !several.is_empty() {
        let names: Vec<String> = several.iter().map(|&role| label(words.view.role_name(role))).collect();
        let place = words.view.position_kind();
        return format!("{} to every {}, as {}", english::plural(&words.kind()), label(place), english::list(&names));
    }
    let kinds = |scope: Scope| {
        let all: Vec<String> = (0..matching.place.len())
            .map(|role| words.view.kind(role))
            .filter(|kind| matching.scope(kind) == scope)
            .map(|kind| if scope == Scope::Engine { label(kind) } else { english::plural(&label(kind)) })
            .collect();
        (!all.is_empty()).then(|| english::list(&all))
    };
    let way = if words.view.position_kind() == CYLINDER { "into" } else { "to" };
    let into = |kinds: String| format!("{kinds} {way} {}", english::plural(words.view.position_kind()));
    let all = [
        kinds(Scope::Position).map(into),
        kinds(Scope::Bank).map(|kinds| format!("{kinds} onto banks")),
        kinds(Scope::Engine).map(|kinds| format!("one {kinds} for the engine")),
    ];
    all.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

pub(super) fn aim(words: Words<'_>) -> String {
    let fit = words.phrase(words.aim_fit());
    let aim = &words.view.matching.aim;
    match (aim.goal, aim.by) {
        (Goal::Even, Measured::Squares) => {
            format!("{fit} as even as possible (least root mean square about the mean)")
        }
        (Goal::Even, _) => format!("{fit} as even as possible (least spread)"),
        (Goal::Near(target), by) => {
            let judged = if by == Measured::Squares { "root mean square" } else { "largest deviation" };
            format!("{fit} as near as possible to {} (least {judged})", words.value(aim.fit, target.ticks()))
        }
        (Goal::Highest, Measured::Extreme) => format!("the lowest {fit} as high as possible"),
        (Goal::Highest, _) => format!("{fit} as high as possible in total"),
        (Goal::Lowest, Measured::Extreme) => format!("the highest {fit} as low as possible"),
        (Goal::Lowest, _) => format!("{fit} as low as possible in total"),
    }
}

fn slack(words: Words<'_>) -> String {
    let slack = words.view.matching.aim.slack;
    slack.map_or_else(String::new, |slack| format!(", up to {} of it to be given for what comes next", glued(slack)))
}

/// An amount as it was typed.
pub(super) fn glued(amount: pairwright_engine::quantity::Amount) -> String {
    amount.to_string().replace(' ', &GLUE.to_string())
}

pub(super) fn next(words: Words<'_>) -> String {
    let Some(then) = &words.view.matching.then else {
        let even = words.view.matching.aim;
        let spread = if even.goal == Goal::Even && even.by == Measured::Spread { "" } else { "least spread, then " };
        return format!("{spread}least scatter, then fewest moves, then the order of the files");
    };
    let mut all: Vec<String> = then.iter().map(|&next| criterion(words, next)).collect();
    all.push("the order of the files".to_owned());
    all.join(", then ")
}

/// Every criterion in order, the order of the files aside.
pub(super) fn criteria(words: Words<'_>) -> Vec<String> {
    let matching = words.view.matching;
    let mut all: Vec<String> = matching.buying.first.iter().map(|&next| criterion(words, next)).collect();
    all.push("the aim".to_owned());
    let Some(then) = &matching.then else {
        let measured = matching.aim.goal == Goal::Even;
        let is_aim = |by: Measured| measured && matching.aim.by == by;
        let evens = [(Measured::Spread, "least spread"), (Measured::Squares, "least scatter")];
        all.extend(evens.into_iter().filter(|&(by, _)| !is_aim(by)).map(|(_, name)| name.to_owned()));
        all.push("fewest moves".to_owned());
        return all;
    };
    all.extend(then.iter().map(|&next| criterion(words, next)));
    all
}

fn criterion(words: Words<'_>, next: Next) -> String {
    match next {
        Next::Spread(fit) => format!("least spread of {}", words.phrase(fit)),
        Next::Moves => "fewest moves".to_owned(),
        Next::Price => "lowest total price".to_owned(),
        Next::Bought => "fewest pieces to buy".to_owned(),
    }
}

/// `first the lowest total price, then `: what counts before the aim.
fn before(words: Words<'_>) -> String {
    let first = &words.view.matching.buying.first;
    let all: Vec<String> = first.iter().map(|&next| format!("the {}, then ", criterion(words, next))).collect();
    if all.is_empty() { String::new() } else { format!("first {}", all.concat()) }
}

fn pins(words: Words<'_>, pins: &[Pin]) -> Option<String> {
    let one = |pin: &Pin| {
        let (kind, part) = (words.view.kind(pin.role), label(words.view.part(pin.role, pin.part)));
        let part = format!("{}{GLUE}{part}", label(words.view.role_name(pin.role)));
        match words.view.matching.scope(kind) {
            Scope::Position => format!("{part} in {}", words.position(pin.position)),
            Scope::Bank => format!("{part} on {}", words.the_bank(pin.position)),
            Scope::Engine => part,
        }
    };
    let all: Vec<String> = pins.iter().map(one).collect();
    (!all.is_empty()).then(|| english::list(&all))
}
