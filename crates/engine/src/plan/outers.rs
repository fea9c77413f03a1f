//! Outer choices of a joint question: settings, each with every stretch of a limited spread.

use std::collections::BTreeMap;

use pairwright_assign::{
    Budget, Couple, Item, JointAim, JointOutcome, JointProblem, JointStatement, Outer, Scale, Slot, Table, solve_joint,
};

use super::choose::PlanError;
use super::joint::Joint;
use super::likeness::Likeness;
use super::setting::Setting;
use super::stretch::Stretches;

/// Partial plans that may be looked at to find out that an outer choice allows nothing.
const EFFORT: u64 = 20_000;

/// An outer choice: a setting, and where the stretch of a limited spread begins, if there is one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Dressed {
    pub(super) setting: usize,
    pub(super) bottom: Option<i64>,
}

impl Joint<'_> {
    /// Every outer choice.
    pub(super) fn every_outer(&self) -> Vec<Dressed> {
        let settings = 0..self.settings.len();
        let Some(stretches) = &self.stretches else {
            return settings.map(|setting| Dressed { setting, bottom: None }).collect();
        };
        let stretched =
            |setting| stretches.bottoms().iter().map(move |&bottom| Dressed { setting, bottom: Some(bottom) });
        settings.flat_map(stretched).collect()
    }

    /// Which outer choices come to the same by the aim.
    pub(super) fn likeness_of(&self, outers: &[Dressed]) -> Likeness {
        if !self.is_settled() {
            return Likeness::all_different(outers.len());
        }
        let [firsts, seconds] = self.shape;
        let value = |outer: usize, at: usize| {
            let number = |part: usize| u32::try_from(part).ok().map(Item::new);
            let items = Couple { first: number(at / seconds % firsts)?, second: number(at % seconds)? };
            let slot = Slot::new(u32::try_from(at / (firsts * seconds)).ok()?);
            let place = self.meetings.place(outers[outer].setting, slot, items)?;
            if self.is_within(outers[outer], place) { self.meetings.value(place) } else { None }
        };
        Likeness::of(outers.len(), self.question.positions.len() * firsts * seconds, value)
    }

    /// The outer choices under which anything can be chosen, as far as is easily found out; those that allow the same
    /// parts in the same positions are asked about once.
    pub(super) fn possible_outers(&self) -> Result<Vec<Dressed>, PlanError> {
        let all = self.every_outer();
        if self.stretches.is_none() {
            return Ok(all);
        }
        let [first, second] = self.tables(super::search::Asked::default())?;
        let mut known: BTreeMap<Vec<bool>, bool> = BTreeMap::new();
        let mut possible = Vec::with_capacity(all.len());
        for outer in all {
            let allowed = self.allowed(outer, &first, &second);
            let is_possible = if let Some(&is_possible) = known.get(&allowed) {
                is_possible
            } else {
                let is_possible = is_possible(&first, &second, &allowed)?;
                known.insert(allowed, is_possible);
                is_possible
            };
            if is_possible {
                possible.push(outer);
            }
        }
        Ok(possible)
    }

    /// For every position and couple of parts whether they may come together there.
    fn allowed(&self, outer: Dressed, first: &Table, second: &Table) -> Vec<bool> {
        let couples = || first.items().flat_map(|one| second.items().map(move |other| (one, other)));
        let may = |(slot, (first, second)): (Slot, (Item, Item))| {
            let place = self.meetings.place(outer.setting, slot, Couple { first, second });
            place.is_some_and(|place| self.is_within(outer, place) && self.meetings.value(place).is_some())
        };
        first.slots().flat_map(|slot| couples().map(move |couple| (slot, couple))).map(may).collect()
    }

    /// Whether the parts in a place belong to an outer choice.
    pub(super) fn is_within(&self, outer: Dressed, place: (usize, usize)) -> bool {
        let holds = |(stretches, bottom): (&Stretches, i64)| stretches.holds(&self.apart, place, bottom);
        self.stretches.as_ref().zip(outer.bottom).is_none_or(holds)
    }

    /// Whether a question wants a setting.
    pub(super) fn wants(&self, asked: super::search::Asked<'_>, outer: Dressed) -> bool {
        let setting: &Setting = &self.settings[outer.setting];
        asked.settings.is_none_or(|wanted| wanted(setting))
    }
}

/// Whether two kinds can be chosen from these couples; true where that is not found out soon.
fn is_possible(first: &Table, second: &Table, allowed: &[bool]) -> Result<bool, PlanError> {
    let (firsts, seconds) = (first.shape().items, second.shape().items);
    let free = |_: Outer, slot: Slot, items: Couple| {
        let at = (slot.index() * firsts + items.first.index()) * seconds + items.second.index();
        allowed.get(at).copied().unwrap_or(false).then_some(0)
    };
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
