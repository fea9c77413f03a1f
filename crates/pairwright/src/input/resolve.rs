//! Matches with their names resolved: kinds to stocks, labels to indices.

use std::collections::HashMap;

use pairwright_engine::job::{Aim, ChamberReadings, DeckReadings, FitName, Goal, Matching, Measured, Positions, Role};

use crate::diagnostic::{Code, Diagnostic, Source};
use crate::noun::plural;

use super::job_file::{At, Draft, MatchDraft, Section};
use super::kinds::KINDS;
use super::load::Reading;
use super::names::Ids;
use super::nearest::remedy;
use super::positions::PositionsRead;
use super::stock::StockRead;
use super::{buying, once, only, pins, roles, served};

/// Kinds that a match can place.
const PLACEABLE: &[&str] = KINDS;

/// The positions of the job.
#[derive(Clone, Copy)]
pub(super) struct Sets<'a> {
    /// Empty where the job has none.
    pub(super) cylinders: &'a PositionsRead,
    pub(super) others: &'a [PositionsRead],
}

impl<'a> Sets<'a> {
    /// The positions of `kind`.
    pub(super) fn of(self, kind: &str) -> Option<&'a PositionsRead> {
        std::iter::once(self.cylinders).chain(self.others).find(|read| read.positions.kind == kind)
    }
}

/// Everything a match can name.
pub(super) struct Names<'a> {
    pub(super) job: &'a Source,
    pub(super) draft: &'a Draft,
    pub(super) cylinders: &'a PositionsRead,
    pub(super) sets: Sets<'a>,
    pub(super) stocks: &'a [StockRead],
    pub(super) ids: &'a [Ids<'a>],
    pub(super) deck: Option<&'a DeckReadings>,
    pub(super) chambers: Option<&'a ChamberReadings>,
    /// Every row of the chamber readings could be read.
    pub(super) pours_whole: bool,
}

/// A resolved match and the draft it came from.
pub(super) struct Resolved<'a> {
    /// Its positions are known only with those of the whole job: [`Resolved::into_match`].
    pub(super) matching: Matching,
    pub(super) draft: &'a MatchDraft,
    /// All positions of the kind that it serves.
    pub(super) at: &'a PositionsRead,
    /// Those of them that it serves.
    pub(super) served: Positions,
}

impl Resolved<'_> {
    /// Whether it serves the position at `index` of all of its kind.
    pub(super) fn serves(&self, index: usize) -> bool {
        self.served.within(index) < self.served.len()
    }

    /// Whether two matches serve a position in common.
    pub(super) fn shares(&self, other: &Self) -> bool {
        self.served.kind == other.served.kind && self.served.ids.iter().any(|id| other.served.ids.contains(id))
    }

    /// The match, its positions added to those of the job unless they are there.
    pub(super) fn into_match(self, positions: &mut Vec<Positions>) -> Matching {
        let whole = positions.iter().position(|known| known.kind == self.served.kind);
        let index = whole.filter(|_| self.served.order.is_empty()).unwrap_or_else(|| {
            positions.push(self.served);
            positions.len() - 1
        });
        Matching { positions: index, ..self.matching }
    }
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
    let resolved: Vec<_> = names.draft.matches.iter().filter_map(|draft| one(names, draft, reading)).collect();
    once::check(names, &resolved, reading);
    once::check_kept(names, &resolved, reading);
    for one in &resolved {
        roles::check_fits(names, one, reading);
    }
    resolved
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

fn one<'a>(names: &Names<'a>, draft: &'a MatchDraft, reading: &mut Reading) -> Option<Resolved<'a>> {
    let mut place: Vec<Role> = Vec::with_capacity(draft.place.len());
    let mut sound = true;
    roles::check_place(names, draft, reading);
    for (kind, called) in draft.place.iter().zip(&draft.called) {
        if check_kind(names, kind, reading) {
            place.push(Role::called(&kind.value, &called.as_ref().unwrap_or(kind).value));
        } else {
            sound = false;
        }
    }
    let unaimed = Aim { fit: FitName::Deck, goal: Goal::Even, by: Measured::Spread, slack: None };
    let mut matching = Matching {
        name: draft.name.value.clone(),
        place,
        positions: 0,
        gasket_per_bank: draft.gasket_per_bank.as_ref().is_some_and(|per_bank| per_bank.value),
        // Names are resolved, and reported, in a match without an aim too; it goes no further.
        aim: draft.aim.as_ref().map_or(unaimed, |aim| aim.value),
        then: draft.then.as_ref().map(|all| all.iter().map(|next| next.value).collect()),
        buying: buying::of(draft),
        limits: draft.limits.iter().map(|limit| limit.asked).collect(),
        keep: Vec::new(),
        bar: Vec::new(),
        line: names.job.place(draft.span.clone()).line,
    };
    let at = served::of(names, draft, sound, reading)?;
    let only = only::served(names, draft, at, reading);
    let served = only.as_ref().map_or_else(|| at.positions.clone(), |only| at.positions.only(only));
    pins::resolve(names, draft, (at, &served), &mut matching, reading);
    let sound = sound && draft.aim.is_some() && (draft.only.is_empty() || only.is_some());
    sound.then_some(Resolved { matching, draft, at, served })
}

fn check_kind(names: &Names<'_>, kind: &At<String>, reading: &mut Reading) -> bool {
    let item = if names.stock(&kind.value).is_some() {
        return true;
    } else if names.draft.is_refused(Section::Stock) {
        return false;
    } else if !KINDS.contains(&kind.value.as_str()) {
        Diagnostic::wrong(Code::MatchKind, format!("there is no kind `{}` to place", kind.value)).help(remedy(
            &kind.value,
            PLACEABLE,
            "a match can place",
        ))
    } else {
        Diagnostic::wrong(Code::MatchKind, format!("there is no stock of `{}` to place from", kind.value))
            .help(format!("add `{} = \"{}.csv\"` under `[stock]`", kind.value, plural(&kind.value)))
    };
    reading.found.push(item.at(names.place(kind), ""));
    false
}
