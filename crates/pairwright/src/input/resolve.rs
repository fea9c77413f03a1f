//! Matches with their names resolved: kinds to stocks, labels to indices.

use std::collections::HashMap;

use pairwright_engine::job::{Aim, ChamberReadings, DeckReadings, FitName, Goal, Matching, Measured, Role};

use crate::diagnostic::{Code, Diagnostic, Source};

use super::job_file::{At, Draft, MatchDraft, Section};
use super::kinds::KINDS;
use super::load::Reading;
use super::names::Ids;
use super::nearest::{listed, remedy};
use super::pins;
use super::positions::Cylinders;
use super::stock::StockRead;

/// Kinds that a match can place.
const PLACEABLE: &[&str] = KINDS;

/// Kinds that later versions place.
const LATER: &[&str] = &["rocker", "shell", "shim", "valve", "spring", "pushrod", "bearing"];

/// Everything a match can name.
pub(super) struct Names<'a> {
    pub(super) job: &'a Source,
    pub(super) draft: &'a Draft,
    pub(super) cylinders: &'a Cylinders,
    pub(super) stocks: &'a [StockRead],
    pub(super) ids: &'a [Ids<'a>],
    pub(super) deck: Option<&'a DeckReadings>,
    pub(super) chambers: Option<&'a ChamberReadings>,
    /// Every row of the chamber readings could be read.
    pub(super) pours_whole: bool,
}

/// A resolved match and the draft it came from.
pub(super) struct Resolved<'a> {
    pub(super) matching: Matching,
    pub(super) draft: &'a MatchDraft,
}

impl<'a> Names<'a> {
    pub(super) fn stock(&self, kind: &str) -> Option<&'a StockRead> {
        self.stocks.iter().find(|read| read.stock.kind == kind)
    }

    pub(super) fn ids(&self, kind: &str) -> Option<&'a Ids<'a>> {
        self.ids.iter().find(|ids| ids.kind == kind)
    }
}

/// Resolves every match; one whose aim or kinds were refused is left out.
pub(super) fn matches<'a>(names: &Names<'a>, reading: &mut Reading) -> Vec<Resolved<'a>> {
    check_names(names, reading);
    check_kinds_once(names, reading);
    names.draft.matches.iter().filter_map(|draft| one(names, draft, reading)).collect()
}

fn check_names(names: &Names<'_>, reading: &mut Reading) {
    let mut firsts: HashMap<&str, &At<String>> = HashMap::new();
    for draft in &names.draft.matches {
        let Some(first) = firsts.insert(&draft.name.value, &draft.name) else { continue };
        let item = Diagnostic::wrong(Code::MatchName, format!("two matches are called `{}`", draft.name.value))
            .at(names.place(&draft.name), "again here")
            .at(names.place(first), "first here")
            .help("give each match a name of its own");
        reading.found.push(item);
    }
}

/// Each part is used once over the job, and every kind goes to the same cylinders.
fn check_kinds_once(names: &Names<'_>, reading: &mut Reading) {
    let mut firsts: HashMap<&str, (usize, &At<String>)> = HashMap::new();
    for (index, draft) in names.draft.matches.iter().enumerate() {
        for kind in &draft.place {
            let Some(&(other, first)) = firsts.get(kind.value.as_str()) else {
                firsts.insert(&kind.value, (index, kind));
                continue;
            };
            let item = if other == index {
                Diagnostic::wrong(Code::MatchKind, format!("`{}` is named twice", kind.value))
                    .help("name each kind once")
            } else {
                let message = format!("two matches place the same kind, `{}`, in the same cylinders", kind.value);
                Diagnostic::wrong(Code::MatchSameParts, message)
                    .help("keep one of them; put what both ask for into it, in `then` and `limits`")
            };
            reading.found.push(item.at(names.place(kind), "again here").at(names.place(first), "first here"));
        }
    }
}

fn one<'a>(names: &Names<'a>, draft: &'a MatchDraft, reading: &mut Reading) -> Option<Resolved<'a>> {
    let mut place = Vec::with_capacity(draft.place.len());
    let mut sound = true;
    for kind in &draft.place {
        if check_kind(names, kind, reading) {
            place.push(Role { kind: kind.value.clone() });
        } else {
            sound = false;
        }
    }
    let unaimed = Aim { fit: FitName::Deck, goal: Goal::Even, by: Measured::Spread, slack: None };
    let mut matching = Matching {
        name: draft.name.value.clone(),
        place,
        gasket_per_bank: draft.gasket_per_bank.as_ref().is_some_and(|per_bank| per_bank.value),
        // Names are resolved, and reported, in a match without an aim too; it goes no further.
        aim: draft.aim.as_ref().map_or(unaimed, |aim| aim.value),
        then: draft.then.as_ref().map(|all| all.iter().map(|next| next.value).collect()),
        limits: draft.limits.iter().map(|limit| limit.asked).collect(),
        keep: Vec::new(),
        bar: Vec::new(),
        line: names.job.place(draft.span.clone()).line,
    };
    pins::resolve(names, draft, &mut matching, reading);
    (sound && draft.aim.is_some()).then_some(Resolved { matching, draft })
}

fn check_kind(names: &Names<'_>, kind: &At<String>, reading: &mut Reading) -> bool {
    let item = if LATER.contains(&kind.value.as_str()) {
        Diagnostic::wrong(Code::JobNotYet, format!("placing `{}` is not supported yet", kind.value))
            .help(format!("take it out for now; a match can place {}", listed(PLACEABLE)))
    } else if !KINDS.contains(&kind.value.as_str()) {
        Diagnostic::wrong(Code::MatchKind, format!("there is no kind `{}` to place", kind.value)).help(remedy(
            &kind.value,
            PLACEABLE,
            "a match can place",
        ))
    } else if names.stock(&kind.value).is_none() {
        if names.draft.is_refused(Section::Stock) {
            return false;
        }
        Diagnostic::wrong(Code::MatchKind, format!("there is no stock of `{}` to place from", kind.value))
            .help(format!("add `{0} = \"{0}s.csv\"` under `[stock]`", kind.value))
    } else {
        return true;
    };
    reading.found.push(item.at(names.place(kind), ""));
    false
}
