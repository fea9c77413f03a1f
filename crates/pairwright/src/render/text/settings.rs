//! Heads and gaskets in words: which serve, and what another plan changes of them.

use pairwright_engine::explain::Alternative;
use pairwright_engine::job::{HeadSeat, Scope};
use pairwright_engine::plan::{Plan, Served, Setting};

use super::english::{self, GLUE, sentence};
use super::page::Page;
use super::words::{Words, label};

/// Writes which heads and gaskets the plan takes, said once a bank or once for the engine.
pub(super) fn settings(page: &mut Page, words: Words<'_>, plan: &Plan) {
    if plan.setting.served.is_empty() {
        return;
    }
    let engine: Vec<String> = plan
        .setting
        .served
        .iter()
        .filter(|served| served.bank.is_none())
        .map(|served| in_full(words, served))
        .collect();
    for bank in 0..words.view.job.banks.len() {
        let own = plan.setting.served.iter().filter(|served| served.bank == Some(bank));
        let own: Vec<String> = own.map(|served| in_full(words, served)).collect();
        if !own.is_empty() {
            page.hanging(&format!("{}: {}.", sentence(&words.bank(bank)), own.join("; ")));
        }
    }
    if !engine.is_empty() {
        page.hanging(&format!("The whole engine: {}.", engine.join("; ")));
    }
}

/// `head H1 (from the right bank), turned end for end: its chamber 1 to the rear`.
fn in_full(words: Words<'_>, served: &Served) -> String {
    let view = words.view;
    let mut text = words.served(served);
    let place = served.bank.unwrap_or(0);
    let stands = view.stands_at(served.role, served.part);
    if view.kind(served.role) == "gasket" {
        // A row of gaskets is a type: where one of them stands says little about the others.
        text += if stands == Some(place) { " (as now)" } else { "" };
    } else if view.knows_where_parts_stand(served.role) {
        let from = match stands {
            Some(at) if at == place => "stays".to_owned(),
            Some(at) => format!("from {}", words.the_bank(at)),
            None => "spare now".to_owned(),
        };
        text = format!("{text} ({from})");
    }
    if view.kind(served.role) == "head" {
        text += match served.bank.and_then(|bank| view.job.banks.get(bank)?.head) {
            Some(HeadSeat::Turned) => ", turned end for end, its chamber 1 to the rear",
            Some(HeadSeat::AsMeasured) | None => ", as measured, its chamber 1 to the front",
        };
    }
    text
}

impl Words<'_> {
    /// `left bank`, `bank A`; a name that already says so stays as it is.
    pub(super) fn bank(self, bank: usize) -> String {
        let name = label(self.view.bank_name(bank));
        match name.chars().count() {
            _ if name.ends_with("bank") || name.starts_with("bank") => name,
            ..=2 => format!("bank{GLUE}{name}"),
            _ => format!("{name}{GLUE}bank"),
        }
    }

    /// `the left bank`, `bank A`.
    pub(super) fn the_bank(self, bank: usize) -> String {
        let name = self.bank(bank);
        if name.starts_with("bank") { name } else { format!("the {name}") }
    }

    /// `head H1`.
    pub(super) fn served(self, served: &Served) -> String {
        format!("{}{GLUE}{}", label(self.view.kind(served.role)), label(self.view.part(served.role, served.part)))
    }

    /// `head H1 on the left bank`, `gasket thin`.
    pub(super) fn served_where(self, served: &Served) -> String {
        let part = self.served(served);
        served.bank.map_or(part.clone(), |bank| format!("{part} on {}", self.the_bank(bank)))
    }

    /// `H1 on left`, `thin`: what serves and where, in few words.
    pub(super) fn part_on(self, served: &Served) -> String {
        let bank = served.bank.map(|bank| format!("{GLUE}on{GLUE}{}", label(self.view.bank_name(bank))));
        label(self.view.part(served.role, served.part)) + &bank.unwrap_or_default()
    }

    /// Heads and gaskets in a clause: `head H1 on the left bank, head H2 on the right bank and gasket thin`.
    pub(super) fn setting(self, setting: &Setting) -> Option<String> {
        self.some_of(setting.served.iter())
    }

    /// What of `other` is not in `mine`, in a clause; the role `but` is left out.
    pub(super) fn changed(self, mine: &Setting, other: &Setting, but: Option<usize>) -> Option<String> {
        self.some_of(other.served.iter().filter(|served| !mine.served.contains(served) && Some(served.role) != but))
    }

    fn some_of<'s>(self, served: impl Iterator<Item = &'s Served>) -> Option<String> {
        let all: Vec<String> = served.map(|served| self.served_where(served)).collect();
        (!all.is_empty()).then(|| english::list(&all))
    }

    /// Where the parts of the second kind differ: `rods R2 in 1 and R1 in 3`.
    pub(super) fn changed_seconds(self, mine: &[usize], other: &[usize]) -> Option<String> {
        let kind = self.view.second_kind()?;
        let changed = mine.iter().zip(other).enumerate().filter(|(_, (mine, other))| mine != other);
        let one = |(position, (_, &part)): (usize, (&usize, &usize))| {
            format!("{} in{GLUE}{}", label(self.view.part_of(kind, part)), self.position_id(position))
        };
        let all: Vec<String> = changed.map(one).collect();
        let kind = label(kind);
        named(&kind, &all)
    }

    /// The kinds that the plan settles beside the first: `rods, heads and gasket`.
    pub(super) fn others_as_planned(self) -> Option<String> {
        let matching = self.view.matching;
        let first = self.view.first_kind();
        let others = matching.place.iter().map(|role| role.kind.as_str()).filter(|kind| *kind != first);
        let named = |kind: &str| {
            if matching.scope(kind) == Scope::Engine { label(kind) } else { english::plural(&label(kind)) }
        };
        let all: Vec<String> = others.map(named).collect();
        (!all.is_empty()).then(|| english::list(&all))
    }
}

/// What another plan changes beside the parts of the first kind, in few words: `heads H2 on left and H1 on right;
/// gasket thick; rods in 1 and 3`.
pub(super) fn brief(words: Words<'_>, plan: &Plan, position: usize, other: &Alternative) -> String {
    let Alternative::Found { setting, seconds: rods, parts, .. } = other else { return String::new() };
    let view = words.view;
    if !view.of_one_kind().is_empty() {
        let elsewhere = plan.placements.iter().filter(|place| place.position != position);
        let changed = elsewhere.filter(|place| view.together(parts, rods, place.position) != place.parts);
        let changed: Vec<String> = changed.map(|place| words.position_id(place.position)).collect();
        let kinds = english::plural(&words.kind());
        return if changed.is_empty() {
            String::new()
        } else {
            format!("{kinds} in {}", english::short_list(&changed, 4))
        };
    }
    let mut all = Vec::new();
    for role in 0..view.matching.place.len() {
        let changed = setting.of_role(role).filter(|served| !plan.setting.served.contains(served));
        let parts: Vec<String> = changed.map(|served| words.part_on(served)).collect();
        all.extend(named(&label(view.kind(role)), &parts));
    }
    let mine = seconds(words, plan);
    let moved = mine.iter().zip(rods).enumerate().filter(|(_, (mine, other))| mine != other);
    let moved: Vec<String> = moved.map(|(position, _)| words.position_id(position)).collect();
    if let (Some(kind), false) = (view.second_kind(), moved.is_empty()) {
        all.push(format!("{} in {}", english::plural(&label(kind)), english::short_list(&moved, 4)));
    }
    all.join("; ")
}

/// `gasket thick`, `heads H2 on left and H1 on right`.
fn named(kind: &str, parts: &[String]) -> Option<String> {
    match parts {
        [] => None,
        [only] => Some(format!("{kind}{GLUE}{only}")),
        many => Some(format!("{} {}", english::plural(kind), english::list(many))),
    }
}

/// The parts of the second kind in a plan, in the order of the positions; empty without such a kind.
pub(super) fn seconds(words: Words<'_>, plan: &Plan) -> Vec<usize> {
    let role = words.view.second_kind().and_then(|kind| words.view.matching.role(kind));
    role.map_or_else(Vec::new, |role| {
        plan.placements.iter().filter_map(|place| place.parts.get(role).copied()).collect()
    })
}
