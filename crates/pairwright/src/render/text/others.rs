//! Other plans that differ in substance, and the plan without each reading in doubt.

use pairwright_engine::explain::{Alternative, Explanation, Flagged, FlaggedOut, OtherPlan};
use pairwright_engine::plan::Plan;

use super::english::{count, lines, list, sentence};
use super::page::Page;
use super::settings::seconds;
use super::words::Words;

/// The plan that others are set beside.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mine<'p> {
    pub(super) plan: &'p Plan,
    /// The part of the first kind at every position.
    pub(super) parts: &'p [usize],
}

/// Writes the other plans.
pub(super) fn others(page: &mut Page, words: Words<'_>, mine: Mine<'_>, explanation: &Explanation) {
    if explanation.others.is_empty() && explanation.flagged_out.is_empty() {
        return;
    }
    page.heading("Other plans");
    for other in &explanation.others {
        page.item(&other_plan(words, mine, other));
    }
    for flagged in &explanation.flagged_out {
        page.item(&without_reading(words, mine, flagged));
    }
}

fn other_plan(words: Words<'_>, mine: Mine<'_>, other: &OtherPlan) -> String {
    match other {
        OtherPlan::OtherParts { without, plan: plan @ Alternative::Found { price, .. } } => format!(
            "With another set of {kind}, the best leaves out {}: {}.{}",
            words.part_id(*without),
            words.price(price),
            differs(words, mine, plan),
            kind = super::english::plural(&words.kind())
        ),
        OtherPlan::OtherParts { plan: Alternative::NoPlan, .. } => {
            format!("No other set of {} gives a plan within the limits.", super::english::plural(&words.kind()))
        }
        OtherPlan::OtherParts { plan: Alternative::TooDear { least }, .. } => format!(
            "With another set of {} {}.",
            super::english::plural(&words.kind()),
            words.too_dear(*least).replacen("no plan", "there is no plan", 1)
        ),
        OtherPlan::OtherParts { plan: Alternative::Undecided, .. } => format!(
            "With another set of {} no plan was found before the search ended.",
            super::english::plural(&words.kind())
        ),
        OtherPlan::FewestMoves { moves, plan_moves, plan } => {
            let fewer = format!(
                "As good by the aim with {} instead of {plan_moves}",
                if *moves == 0 { "no moves".to_owned() } else { count(*moves, "move") }
            );
            match plan {
                Alternative::Found { price, .. } => {
                    format!("{fewer}: {}.{}", words.price(price), differs(words, mine, plan))
                }
                Alternative::Undecided => format!("{fewer}: none was found before the search ended."),
                Alternative::NoPlan => format!("{fewer}: there is no such plan within the limits."),
                Alternative::TooDear { least } => format!("{fewer}: {}.", words.too_dear(*least)),
            }
        }
    }
}

fn differs(words: Words<'_>, mine: Mine<'_>, other: &Alternative) -> String {
    let Alternative::Found { setting, seconds: rods, parts, .. } = other else { return String::new() };
    if !words.view.of_one_kind().is_empty() {
        let puts = differs_in_sets(words, mine.plan, (parts, rods));
        return puts.map_or_else(String::new, |puts| format!(" It puts {puts}."));
    }
    let puts = words.differences(mine.parts, parts).map(|changes| format!(" It puts {changes}."));
    let takes =
        [words.changed(&mine.plan.setting, setting, None), words.changed_seconds(&seconds(words, mine.plan), rods)];
    let takes: Vec<String> = takes.into_iter().flatten().collect();
    let takes = (!takes.is_empty()).then(|| format!(" It has {}.", list(&takes)));
    puts.unwrap_or_default() + &takes.unwrap_or_default()
}

/// Where another plan puts other parts, several of one kind going to a position: `S4, S9 in 1 and S2, S7 in 3`.
fn differs_in_sets(words: Words<'_>, plan: &Plan, (parts, beside): (&[usize], &[usize])) -> Option<String> {
    let other = |position: usize| words.view.together(parts, beside, position);
    let changed = plan.placements.iter().filter(|place| other(place.position) != place.parts);
    let one = |at: usize| format!("{} in {}", words.part_ids(&other(at)), words.position_id(at));
    let all: Vec<String> = changed.map(|place| one(place.position)).collect();
    (!all.is_empty()).then(|| super::english::short_list(&all, 12))
}

fn without_reading(words: Words<'_>, mine: Mine<'_>, flagged: &FlaggedOut) -> String {
    let what = if flagged.of == Flagged::Pour { "pours" } else { "readings" };
    let without = sentence(&format!("without {} of the {what}", lines(&flagged.lines)));
    if flagged.undecided {
        return format!("{without} no plan was found before the search ended.");
    }
    let Some(parts) = &flagged.parts else {
        return format!("{without} there is no plan.");
    };
    let spread = flagged
        .spread
        .map_or_else(String::new, |spread| format!(" Spread by the {what} that remain: {}.", words.difference(spread)));
    let setting = words.changed(&mine.plan.setting, &flagged.setting, None);
    let changes: Vec<String> = setting.into_iter().chain(words.differences(mine.parts, parts)).collect();
    let rods = words.changed_seconds(&seconds(words, mine.plan), &flagged.seconds);
    let changes: Vec<String> = changes.into_iter().chain(rods).collect();
    match (!changes.is_empty()).then(|| changes.join("; ")) {
        None => format!("{without} the plan is the same.{spread}"),
        Some(changes) => format!("{without} the plan changes: {changes}.{spread}"),
    }
}
