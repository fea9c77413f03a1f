//! Other plans that differ in substance, and the plan without each reading in doubt.

use pairwright_engine::explain::{Alternative, Explanation, FlaggedOut, OtherPlan};

use super::english::{count, lines, sentence};
use super::page::Page;
use super::words::Words;

/// Writes the other plans; `mine` is the part at every position of the plan.
pub(super) fn others(page: &mut Page, words: Words<'_>, mine: &[usize], explanation: &Explanation) {
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

fn other_plan(words: Words<'_>, mine: &[usize], other: &OtherPlan) -> String {
    match other {
        OtherPlan::OtherParts { without, plan: Alternative::Found { parts, price, .. } } => format!(
            "With another set of {kind}s, the best leaves out {}: {}.{}",
            words.part_id(*without),
            words.price(price),
            differs(words, mine, parts),
            kind = words.kind()
        )
        .replace(&format!("{}s", words.kind()), &super::english::plural(&words.kind())),
        OtherPlan::OtherParts { plan: Alternative::NoPlan, .. } => {
            format!("No other set of {} gives a plan within the limits.", super::english::plural(&words.kind()))
        }
        OtherPlan::FewestMoves { moves, plan_moves, plan } => {
            let fewer = format!(
                "As good by the aim with {} instead of {plan_moves}",
                if *moves == 0 { "no moves".to_owned() } else { count(*moves, "move") }
            );
            match plan {
                Alternative::Found { parts, price, .. } => {
                    format!("{fewer}: {}.{}", words.price(price), differs(words, mine, parts))
                }
                Alternative::NoPlan => format!("{fewer}: there is no such plan within the limits."),
            }
        }
    }
}

fn differs(words: Words<'_>, mine: &[usize], other: &[usize]) -> String {
    words.differences(mine, other).map_or_else(String::new, |changes| format!(" It puts {changes}."))
}

fn without_reading(words: Words<'_>, mine: &[usize], flagged: &FlaggedOut) -> String {
    let without = sentence(&format!("without {}", lines(&flagged.lines)));
    let Some(parts) = &flagged.parts else {
        return format!("{without} of the readings there is no plan.");
    };
    let spread = flagged.spread.map_or_else(String::new, |spread| {
        format!(" Spread by the readings that remain: {}.", words.difference(spread))
    });
    match words.differences(mine, parts) {
        None => format!("{without} of the readings the plan is the same.{spread}"),
        Some(changes) => format!("{without} of the readings the plan changes: {changes}.{spread}"),
    }
}
