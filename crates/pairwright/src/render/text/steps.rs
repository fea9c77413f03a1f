//! What to carry where.

use pairwright_engine::explain::Step;

use super::english::{self, GLUE};
use super::page::Page;
use super::words::Words;

/// Writes the chains of moves, a line a part.
pub(super) fn steps(page: &mut Page, words: Words<'_>, chains: &[Vec<Step>]) {
    if chains.is_empty() {
        return;
    }
    page.heading("What to carry where");
    page.say("Number by number; the next line of the same number is the part that has to leave its place.");
    if let Some(others) = words.others_as_planned() {
        let kind = english::sentence(&english::plural(&words.kind()));
        page.say(&format!("{kind} only: where {others} come from stands with the plan."));
    }
    for (number, chain) in (1..).zip(chains) {
        for (nth, step) in chain.iter().enumerate() {
            let mark = if nth == 0 { format!("{number}.") } else { String::new() };
            page.marked(&mark, &carry(words, step));
        }
    }
}

/// `C: cylinder 3 to 7`, `D: spare to cylinder 3`.
fn carry(words: Words<'_>, step: &Step) -> String {
    let part = words.part_id(step.part);
    let way = match (step.from, step.to) {
        (Some(from), Some(to)) => format!("{} to{GLUE}{}", words.position(from), words.position_id(to)),
        (Some(from), None) => format!("{} to{GLUE}spare", words.position(from)),
        (None, Some(to)) => format!("spare to {}", words.position(to)),
        (None, None) => "stays spare".to_owned(),
    };
    format!("{part}: {way}")
}
