//! Parts that stay out of the engine, and what forcing each one in would cost.

use pairwright_engine::explain::{Alternative, Explanation};
use pairwright_engine::plan::Plan;

use super::english::{count, sentence};
use super::page::Page;
use super::words::Words;

/// Of more parts than this only the number is given.
const NAMED: usize = 24;

/// Writes which parts are left out and the price of each.
pub(super) fn left_out(page: &mut Page, words: Words<'_>, plan: &Plan, explanation: &Explanation) {
    page.heading("Parts left out");
    let kind = words.kind();
    if plan.left_out.is_empty() {
        page.say(&format!("None: every {kind} that may be used is used."));
        return;
    }
    let verb = if plan.left_out.len() == 1 { "stays" } else { "stay" };
    let forced = &explanation.forced_in;
    let pile = plan.left_out.len() > NAMED;
    let who = if pile { count(plan.left_out.len(), &kind) } else { words.parts(&plan.left_out) };
    let stay = format!("{} {verb} out", sentence(&who));
    match forced.len() {
        0 => page.say(&format!("{stay}.")),
        priced if priced + explanation.unread.len() < plan.left_out.len() => page.say(&format!(
            "{stay}; the {priced} whose values come nearest to the plan's are priced here. Forcing one in would cost:"
        )),
        1 if plan.left_out.len() == 1 => page.say(&format!("{stay}. Forcing it in would cost:")),
        _ => page.say(&format!("{stay}. Forcing one in would cost:")),
    }
    let mut none = Vec::new();
    for forced in forced {
        match &forced.plan {
            Alternative::Found { parts, price, .. } => {
                let at = parts.iter().position(|&part| part == forced.part);
                let at = at.map_or_else(String::new, |at| format!(" in {}", words.position(at)));
                page.item(&format!("{}{at}: {}.", words.part_id(forced.part), words.price(price)));
            }
            Alternative::NoPlan => none.push(forced.part),
        }
    }
    if !explanation.unread.is_empty() {
        let verb = if explanation.unread.len() == 1 { "was" } else { "were" };
        page.item(&format!(
            "{} {verb} not considered: no reading tells what to expect.",
            sentence(&words.parts(&explanation.unread))
        ));
    }
    if !none.is_empty() {
        let them = match none.len() {
            1 => "it",
            2 => "either of them",
            _ => "any of them",
        };
        page.item(&format!("{}: no plan within the limits has {them}.", sentence(&words.parts(&none))));
    }
}
