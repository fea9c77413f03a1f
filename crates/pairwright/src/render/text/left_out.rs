//! Parts that stay out of the engine, and what forcing each one in would cost.

use pairwright_engine::explain::{Alternative, Explanation};
use pairwright_engine::plan::Plan;

use super::english::{count, list, plural, sentence, short_list};
use super::page::Page;
use super::words::{Words, label};

/// Of more parts than this only the number is given.
const NAMED: usize = 24;

/// Writes which parts are left out and the price of each.
pub(super) fn left_out(page: &mut Page, words: Words<'_>, plan: &Plan, explanation: &Explanation) {
    page.heading("Parts left out");
    let kind = words.kind();
    let others = others_left_out(words, plan);
    if let Some(others) = &others {
        page.say(others);
    }
    if !words.view.places_first_kind() {
        if others.is_none() {
            page.say("None.");
        }
        return;
    }
    let untaken = untaken(words, plan);
    if plan.left_out.is_empty() {
        page.say(&match &untaken {
            None => format!("None: every {kind} that may be used is used."),
            Some(types) => format!("Every {kind} of which there is one is used. {types}"),
        });
        return;
    }
    if let Some(types) = &untaken {
        page.say(types);
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
    let (mut none, mut open) = (Vec::new(), Vec::new());
    for forced in forced {
        match &forced.plan {
            Alternative::Found { parts, seconds, price, .. } => {
                let first = parts.iter().position(|&part| part == forced.part);
                let further = words.view.of_one_kind().len().saturating_sub(1);
                let beside = seconds.iter().position(|&part| further > 0 && part == forced.part);
                let at = first.or(beside.map(|at| at / further.max(1)));
                let at = at.map_or_else(String::new, |at| format!(" in {}", words.position(at)));
                page.item(&format!("{}{at}: {}.", words.part_id(forced.part), words.price(price)));
            }
            Alternative::TooDear { least } => {
                page.item(&format!("{}: {}.", sentence(&words.part(forced.part)), words.too_dear(*least)));
            }
            Alternative::NoPlan => none.push(forced.part),
            Alternative::Undecided => open.push(forced.part),
        }
    }
    if !explanation.unread.is_empty() {
        let verb = if explanation.unread.len() == 1 { "was" } else { "were" };
        page.item(&format!(
            "{} {verb} not considered: no reading tells what to expect.",
            sentence(&words.parts(&explanation.unread))
        ));
    }
    if !open.is_empty() {
        let who = sentence(&words.parts(&open));
        page.item(&format!("{who}: the search ended before a plan was found."));
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

/// `No piece is taken of 2.40 and 2.45.`: types of which the plan uses none.
fn untaken(words: Words<'_>, plan: &Plan) -> Option<String> {
    let kind = words.view.first_kind();
    let stock = words.view.job.stock(kind)?;
    let roles: Vec<usize> =
        words.view.matching.place.iter().enumerate().filter(|(_, role)| role.kind == kind).map(|(at, _)| at).collect();
    let used = |part: usize| {
        let mut taken = plan.placements.iter().flat_map(|place| roles.iter().filter_map(|&role| place.parts.get(role)));
        taken.any(|&taken| stock.is_alike(part, taken))
    };
    let firsts = (0..stock.parts.len()).filter(|&part| stock.parts[part].is_type() && stock.first_alike(part) == part);
    let ids: Vec<String> = firsts.filter(|&part| !used(part)).map(|part| words.part_id(part)).collect();
    (!ids.is_empty()).then(|| format!("No piece is taken of {}.", short_list(&ids, NAMED)))
}

/// `Rods R3 and R7 and head H2 stay out.`: what is left of the other kinds, of which none is priced here.
fn others_left_out(words: Words<'_>, plan: &Plan) -> Option<String> {
    let view = words.view;
    let of_role = |role: usize| {
        let own = plan.others_left_out.iter().filter(|(of, _)| *of == role);
        let ids: Vec<String> = own.map(|&(_, part)| label(view.part(role, part))).collect();
        let kind = label(view.kind(role));
        match ids.as_slice() {
            [] => None,
            [only] => Some(format!("{kind} {only}")),
            many => Some(format!("{} {}", plural(&kind), short_list(many, NAMED))),
        }
    };
    let all: Vec<String> = (0..view.matching.place.len()).filter_map(of_role).collect();
    let verb = if plan.others_left_out.len() == 1 { "stays" } else { "stay" };
    (!all.is_empty()).then(|| format!("{} {verb} out.", sentence(&list(&all))))
}
