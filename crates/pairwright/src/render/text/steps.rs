//! What to carry where.

use pairwright_engine::explain::{Explanation, Step};
use pairwright_engine::job::Scope;

use super::english::GLUE;
use super::page::Page;
use super::words::{Words, label};

/// Writes the chains of moves, a line a part, kind by kind.
pub(super) fn steps(page: &mut Page, words: Words<'_>, explanation: &Explanation) {
    let (own, others) = (&explanation.steps, &explanation.other_steps);
    if own.is_empty() && others.is_empty() {
        return;
    }
    page.heading("What to carry where");
    page.say("Number by number; the next line of the same number is the part that has to leave its place.");
    let first = words.view.first_kind();
    let mut number = chains(page, 1, own, |step| carry(words, first, step));
    for of_role in others {
        let kind = words.view.kind(of_role.role);
        number = chains(page, number, &of_role.steps, |step| carry(words, kind, step));
    }
}

/// Writes chains from a number on; the number after them.
fn chains(page: &mut Page, from: usize, chains: &[Vec<Step>], line: impl Fn(&Step) -> String) -> usize {
    for (number, chain) in (from..).zip(chains) {
        for (nth, step) in chain.iter().enumerate() {
            let mark = if nth == 0 { format!("{number}.") } else { String::new() };
            page.marked(&mark, &line(step));
        }
    }
    from + chains.len()
}

/// `C: cylinder 3 to 7`, `D: spare to cylinder 3`; with their kind where several are placed.
fn carry(words: Words<'_>, kind: &str, step: &Step) -> String {
    let view = words.view;
    let name = label(view.part_of(kind, step.part));
    let part = if view.matching.place.len() > 1 { format!("{}{GLUE}{name}", label(kind)) } else { name };
    let on_bank = view.matching.scope(kind) == Scope::Bank;
    let short = |at: usize| if on_bank { label(view.bank_name(at)) } else { words.position_id(at) };
    let whole = |at: usize| if on_bank { format!("{} bank", short(at)) } else { words.position(at) };
    let way = match (step.from, step.to) {
        (Some(from), Some(to)) => format!("{} to{GLUE}{}", whole(from), short(to)),
        (Some(from), None) => format!("{} to{GLUE}spare", whole(from)),
        (None, Some(to)) => format!("spare to {}", whole(to)),
        (None, None) => "stays spare".to_owned(),
    };
    format!("{part}: {way}")
}
