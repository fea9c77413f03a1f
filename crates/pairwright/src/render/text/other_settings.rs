//! What other heads and other gaskets would cost.

use pairwright_engine::explain::{Alternative, OtherSetting};
use pairwright_engine::plan::Plan;

use super::english::{self, sentence};
use super::page::Page;
use super::settings::seconds;
use super::words::{Words, label};

/// Writes every other way to fill a bank or the engine, and what the best plan with it costs.
pub(super) fn other_settings(page: &mut Page, words: Words<'_>, plan: &Plan, settings: &[OtherSetting]) {
    if settings.is_empty() {
        return;
    }
    let mut kinds: Vec<String> = Vec::new();
    for setting in settings {
        let kind = english::plural(&label(words.view.kind(setting.role)));
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    page.heading(&format!("Other {}", english::list(&kinds)));
    page.say("The best plan with each of them, everything else chosen anew:");
    let (mut none, mut open) = (Vec::new(), Vec::new());
    for setting in settings {
        let what = what(words, setting);
        match &setting.plan {
            Alternative::Found { price, .. } => {
                let changes = changes(words, plan, setting);
                page.item(&format!("{}: {}.{changes}", sentence(&what), words.price(price)));
            }
            Alternative::TooDear { least } => {
                page.item(&format!("{}: {}.", sentence(&what), words.too_dear(*least)));
            }
            Alternative::NoPlan => none.push(what),
            Alternative::Undecided => open.push(what),
        }
    }
    if !none.is_empty() {
        page.item(&format!("{}: no plan within the limits.", sentence(&none.join("; "))));
    }
    if !open.is_empty() {
        page.item(&format!("{}: no plan was found before the search ended.", sentence(&open.join("; "))));
    }
}

/// `heads the other way round (H2 on left and H1 on right)`, `gasket thin`.
fn what(words: Words<'_>, setting: &OtherSetting) -> String {
    let kind = label(words.view.kind(setting.role));
    let parts: Vec<String> = setting.served.iter().map(|served| words.part_on(served)).collect();
    let kind = if parts.len() == 1 { kind } else { english::plural(&kind) };
    if setting.turned_about {
        return format!("{kind} the other way round ({})", english::list(&parts));
    }
    format!("{kind} {}", english::list(&parts))
}

/// What else that plan has otherwise, in few words: other roles of the setting, and the second kind.
fn changes(words: Words<'_>, plan: &Plan, other: &OtherSetting) -> String {
    let Alternative::Found { setting, seconds: rods, .. } = &other.plan else { return String::new() };
    let mine = seconds(words, plan);
    let others = mine.iter().zip(rods).filter(|(mine, other)| mine != other).count();
    let rods = words.view.second_kind().filter(|_| others > 0).map(|kind| format!("other {}", english::plural(kind)));
    let all: Vec<String> = words.changed(&plan.setting, setting, Some(other.role)).into_iter().chain(rods).collect();
    if all.is_empty() { String::new() } else { format!(" It has {}.", english::list(&all)) }
}
