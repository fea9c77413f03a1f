//! What the job file says, names as typed.

use std::ops::Range;

use pairwright_engine::job::{Aim, EngineSizes, HeadSeat, LimitAsked, Next, Positive};
use pairwright_engine::quantity::{Amount, Unit};

use super::WhatIfDraft;
use crate::input::declared::Declared;
use crate::input::ledger::EntryDraft;

/// A value and where it stands in the job file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::input) struct At<T> {
    pub(in crate::input) value: T,
    pub(in crate::input) span: Range<usize>,
}

/// The whole job file.
#[derive(Debug, Default)]
pub(in crate::input) struct Draft {
    pub(in crate::input) title: Option<String>,
    /// `None` where it is missing or was refused.
    pub(in crate::input) units: Option<Unit>,
    pub(in crate::input) risk: f64,
    pub(in crate::input) seed: u64,
    pub(in crate::input) engine: EngineSizes,
    pub(in crate::input) banks: Vec<BankDraft>,
    pub(in crate::input) stocks: Vec<FileDraft>,
    pub(in crate::input) positions: Vec<FileDraft>,
    pub(in crate::input) uncertainty: Vec<(String, Amount)>,
    pub(in crate::input) deck: Option<DeckDraft>,
    pub(in crate::input) chambers: Option<ChambersDraft>,
    /// `[engine] cam`.
    pub(in crate::input) cam: Option<String>,
    /// `[readings] clearance`: the file of the clearance ledger.
    pub(in crate::input) clearances: Option<At<String>>,
    /// `[[clearance]]`.
    pub(in crate::input) entries: Vec<EntryDraft>,
    /// `[fit.NAME]`.
    pub(in crate::input) declared: Declared,
    pub(in crate::input) matches: Vec<MatchDraft>,
    /// `[[what_if]]`.
    pub(in crate::input) what_ifs: Vec<WhatIfDraft>,
    /// The names that `as` gives in any match, each with its kind.
    pub(in crate::input) aliases: Vec<(String, String)>,
    /// Some of them were refused: a name that is not found may be one of those.
    pub(in crate::input) aliases_hidden: bool,
    /// The text is not TOML, or its matches are not: what is missing may only be unreadable.
    pub(in crate::input) broken: bool,
    /// Sections of which a part was refused: a name that is not found may be one that stands there.
    pub(in crate::input) refused: Vec<Section>,
}

/// A section of the job file that names what others refer to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::input) enum Section {
    Engine,
    Banks,
    Stock,
    Positions,
    Readings,
}

impl Draft {
    pub(in crate::input) fn refuse(&mut self, section: Section) {
        self.refused.push(section);
    }

    /// The kind of the parts or positions that a declared fit calls so.
    pub(in crate::input) fn kind_of<'n>(&'n self, name: &'n str) -> &'n str {
        self.aliases.iter().find(|(known, _)| known == name).map_or(name, |(_, kind)| kind)
    }

    /// How many parts of `kind` a position takes at most.
    pub(in crate::input) fn a_position(&self, kind: &str) -> usize {
        let of_kind = |one: &MatchDraft| one.place.iter().filter(|placed| placed.value == kind).count();
        // Where names were refused more may be meant.
        let least = if self.aliases_hidden { usize::MAX } else { 1 };
        self.matches.iter().map(of_kind).max().unwrap_or(0).max(least)
    }

    /// Whether a part of `section` was refused, or may be what could not be read.
    pub(in crate::input) fn is_refused(&self, section: Section) -> bool {
        self.broken || self.refused.contains(&section)
    }
}

#[derive(Debug)]
pub(in crate::input) struct BankDraft {
    pub(in crate::input) name: At<String>,
    pub(in crate::input) cylinders: Vec<At<String>>,
    pub(in crate::input) head: Option<HeadSeat>,
    pub(in crate::input) straight: bool,
    pub(in crate::input) form: Option<Amount>,
}

#[derive(Debug)]
pub(in crate::input) struct FileDraft {
    pub(in crate::input) kind: At<String>,
    pub(in crate::input) file: At<String>,
}

#[derive(Debug)]
pub(in crate::input) struct DeckDraft {
    pub(in crate::input) file: At<String>,
    pub(in crate::input) resolution: Option<Amount>,
    pub(in crate::input) repeatability: Option<Amount>,
    pub(in crate::input) positive: Positive,
    pub(in crate::input) rod: Option<At<String>>,
}

/// `[readings] chamber`.
#[derive(Debug)]
pub(in crate::input) struct ChambersDraft {
    pub(in crate::input) file: At<String>,
    pub(in crate::input) resolution: Option<Amount>,
    pub(in crate::input) repeatability: Option<Amount>,
}

#[derive(Debug)]
pub(in crate::input) struct MatchDraft {
    /// Where none is typed, `match 1` and so on, at the section's head.
    pub(in crate::input) name: At<String>,
    /// The section's head.
    pub(in crate::input) span: Range<usize>,
    /// The kinds, in order.
    pub(in crate::input) place: Vec<At<String>>,
    /// What `as` calls each of them, where it says.
    pub(in crate::input) called: Vec<Option<At<String>>>,
    /// `positions`: the kind of positions, where the match says so.
    pub(in crate::input) positions: Option<At<String>>,
    /// `only`: a column of words and the word that a position must have there.
    pub(in crate::input) only: Vec<(At<String>, At<String>)>,
    /// `gasket`: whether each bank may have one of its own, where the match says so.
    pub(in crate::input) gasket_per_bank: Option<At<bool>>,
    /// `None` where it is missing or was refused.
    pub(in crate::input) aim: Option<At<Aim>>,
    /// `first`: what counts before the aim.
    pub(in crate::input) first: Vec<At<Next>>,
    pub(in crate::input) then: Option<Vec<At<Next>>>,
    /// `spend`: how much may be spent.
    pub(in crate::input) spend: Option<At<Amount>>,
    pub(in crate::input) limits: Vec<LimitDraft>,
    pub(in crate::input) keep: Vec<PinDraft>,
    pub(in crate::input) bar: Vec<PinDraft>,
}

#[derive(Debug)]
pub(in crate::input) struct LimitDraft {
    pub(in crate::input) asked: LimitAsked,
    pub(in crate::input) span: Range<usize>,
}

/// A part in a position, kept or barred.
#[derive(Debug)]
pub(in crate::input) struct PinDraft {
    /// The kind, where the long form names it.
    pub(in crate::input) kind: Option<At<String>>,
    /// The place; `None` in `gasket = "thin"`, which names the engine's one part of the kind.
    pub(in crate::input) position: Option<At<String>>,
    pub(in crate::input) part: At<String>,
}
