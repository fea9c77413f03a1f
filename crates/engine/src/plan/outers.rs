//! Outer choices of a joint question: settings, each with every stretch of a limited spread.

use std::collections::BTreeMap;
use std::sync::Arc;

use pairwright_assign::{
    Budget, Couple, JointAim, JointOutcome, JointProblem, JointStatement, Outer, Scale, Slot, Table, solve_joint,
};

use super::choose::PlanError;
use super::couples::{Couples, Numbering};
use super::joint::Joint;
use super::likeness::Likeness;
use super::setting::Setting;
use super::stretch::Stretches;

/// Partial plans that may be looked at to find out that an outer choice allows nothing.
const EFFORT: u64 = 20_000;

/// An outer choice: a setting, and what a stretch of a limited spread leaves of it, if there is one.
#[derive(Clone, Debug)]
pub(super) struct Dressed {
    pub(super) setting: usize,
    /// The parts that may come together.
    pub(super) open: Arc<Couples>,
}

impl Joint<'_> {
    /// How positions and parts of both roles are numbered.
    pub(super) fn numbering(&self) -> Numbering {
        let [firsts, seconds] = self.shape;
        Numbering { positions: self.question.positions.len(), firsts, seconds }
    }

    /// Every outer choice; those that let the same parts come together share what says so.
    pub(super) fn every_outer(&self) -> Vec<Dressed> {
        let bottoms = self.stretches.as_ref().map_or_else(|| vec![None], Stretches::begin);
        let mut known: BTreeMap<Couples, Arc<Couples>> = BTreeMap::new();
        let settings =
            (0..self.settings.len()).flat_map(|setting| bottoms.iter().map(move |&bottom| (setting, bottom)));
        settings
            .map(|(setting, bottom)| {
                let open = self.open(setting, bottom);
                let open = Arc::clone(known.entry(open).or_insert_with_key(|open| Arc::new(open.clone())));
                Dressed { setting, open }
            })
            .collect()
    }

    /// The parts that may come together under a setting, in the stretch that begins there.
    fn open(&self, setting: usize, bottom: Option<i64>) -> Couples {
        let numbering = self.numbering();
        let may = |number: usize| {
            let place = numbering.named(number).and_then(|(slot, items)| self.meetings.place(setting, slot, items));
            place.is_some_and(|place| self.meetings.value(place).is_some() && self.is_in_stretch(place, bottom))
        };
        Couples::of(numbering.count(), may)
    }

    fn is_in_stretch(&self, place: (usize, usize), bottom: Option<i64>) -> bool {
        let holds = |(stretches, bottom): (&Stretches, i64)| stretches.holds(&self.apart, place, bottom);
        self.stretches.as_ref().zip(bottom).is_none_or(holds)
    }

    /// Which outer choices come to the same by the aim.
    pub(super) fn likeness_of(&self, outers: &[Dressed]) -> Likeness {
        if !self.is_settled() {
            return Likeness::all_different(outers.len());
        }
        let value = |outer: usize, number: usize| self.aim_of(&outers[outer], number);
        let cells = |outer: usize| {
            outers[outer].open.numbers().map(move |number| (number, self.aim_of(&outers[outer], number)))
        };
        Likeness::of(outers.len(), cells, value)
    }

    /// The aim of an outer choice by the number of a position and two parts; `None` where they may not come together.
    fn aim_of(&self, outer: &Dressed, number: usize) -> Option<i64> {
        if !outer.open.has(number) {
            return None;
        }
        let (slot, items) = self.numbering().named(number)?;
        self.meetings.value(self.meetings.place(outer.setting, slot, items)?)
    }

    /// The outer choices under which anything can be chosen, as far as is easily found out; those that allow the same
    /// parts in the same positions are asked about once.
    pub(super) fn possible_outers(&self) -> Result<Vec<Dressed>, PlanError> {
        if self.stretches.is_none() {
            return Ok(self.every.clone());
        }
        let [first, second] = self.tables(super::search::Asked::default())?;
        let mut known: BTreeMap<*const Couples, bool> = BTreeMap::new();
        let mut possible = Vec::with_capacity(self.every.len());
        for outer in &self.every {
            let open = Arc::as_ptr(&outer.open);
            let is_possible = if let Some(&is_possible) = known.get(&open) {
                is_possible
            } else {
                let is_possible = is_possible(&first, &second, (self.numbering(), &outer.open))?;
                known.insert(open, is_possible);
                is_possible
            };
            if is_possible {
                possible.push(outer.clone());
            }
        }
        Ok(possible)
    }

    /// Whether a question wants a setting.
    pub(super) fn wants(&self, asked: super::search::Asked<'_>, outer: &Dressed) -> bool {
        let setting: &Setting = &self.settings[outer.setting];
        asked.settings.is_none_or(|wanted| wanted(setting))
    }
}

/// Whether two kinds can be chosen from these couples; true where that is not found out soon.
fn is_possible(first: &Table, second: &Table, (numbering, open): (Numbering, &Couples)) -> Result<bool, PlanError> {
    let free = |_: Outer, slot: Slot, items: Couple| open.has(numbering.number(slot, items)).then_some(0);
    let statement = JointStatement {
        first,
        second,
        barred: &[],
        offsets: &[vec![0; first.shape().slots]],
        scale: Scale::Free(&free),
        beside: None,
    };
    let problem = JointProblem::new(statement, JointAim::WorstFrom { target: 0 })?.with_tie_effort(0);
    Ok(!matches!(solve_joint(&problem, &Budget::nodes(EFFORT))?, JointOutcome::Impossible(_)))
}
