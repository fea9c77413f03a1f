//! Why no bundles give a plan.

use std::collections::BTreeSet;

use pairwright_assign::several::{SeveralOutcome, SeveralProblem, SeveralShortage, solve_several};
use pairwright_proof::{Item, Measure, Sense, SeveralProof, SeveralStep, Slot, Worth, check_several_impossible};

use super::super::admission::Relaxed;
use super::super::choose::PlanError;
use super::super::setting::Setting;
use super::bundles::Several;
use crate::plan::{Culprit, Impossible};

/// Bundles that may be looked at for one step of a bisection.
const EFFORT: u64 = 60_000_000;

/// Each limit with the smallest change of it alone that gives a plan, and the positions that compete.
pub(in crate::plan) fn severally(several: &Several<'_>) -> Result<Impossible, PlanError> {
    let question = several.question;
    let mut culprits = Vec::new();
    for (index, limit) in question.limits.iter().enumerate() {
        if let Some(ticks) = several.enough(index)? {
            let setting = Setting::default();
            culprits.push(Culprit::Limit { fit: limit.fit, kind: limit.kind, enough: Some(ticks), setting });
        }
    }
    if culprits.is_empty() {
        for limit in question.limits.iter().filter(|_| several.is_limited()) {
            let setting = Setting::default();
            culprits.push(Culprit::Limit { fit: limit.fit, kind: limit.kind, enough: None, setting });
        }
    }
    if culprits.is_empty() {
        let pinned = !question.matching.keep.is_empty() || !question.matching.bar.is_empty();
        culprits.push(if pinned { Culprit::KeepOrBar } else { Culprit::Fits });
    }
    let (positions, parts) = several.competing()?;
    Ok(Impossible { positions, parts, culprits, ..Impossible::without_setting() })
}

impl Several<'_> {
    /// Why no bundles hold every limit; `None` where no proof is found.
    pub(in crate::plan) fn none_at_all(&self) -> Result<Option<SeveralProof>, PlanError> {
        Ok(match self.outcome()? {
            SeveralOutcome::Impossible { proof, .. } => Some(proof),
            _ => None,
        })
    }

    pub(in crate::plan) fn check_none_at_all(&self, proof: &SeveralProof) -> Result<(), PlanError> {
        let value = |slot, items: &[Item]| self.value(slot, items);
        Ok(check_several_impossible(self.pile, &Worth::Function(&value), proof)?)
    }

    fn outcome(&self) -> Result<SeveralOutcome, PlanError> {
        let value = |slot, items: &[Item]| self.value(slot, items);
        let worth = Worth::Function(&value);
        let problem = SeveralProblem::new(self.pile, &worth, Measure::Greatest, Sense::Least)?.with_effort(EFFORT);
        Ok(solve_several(&problem))
    }

    /// Whether a limit keeps any bundle out.
    fn is_limited(&self) -> bool {
        let question = self.question;
        (0..question.limits.len()).any(|limit| !self.shortfalls(limit).is_empty())
    }

    /// The positions that compete, and the parts that they have between them: those of a position without any bundle, of
    /// too few parts for some positions (Hall), or all of them.
    fn competing(&self) -> Result<(Vec<usize>, Vec<usize>), PlanError> {
        let slots = match self.outcome()? {
            SeveralOutcome::Impossible { shortage: SeveralShortage::NoBundle { slot }, .. } => vec![slot],
            SeveralOutcome::Impossible { proof: SeveralProof { steps }, .. } => match steps.as_slice() {
                [SeveralStep::Short(slots)] => slots.clone(),
                _ => (0..).map(Slot::new).take(self.pile.slots).collect(),
            },
            _ => (0..).map(Slot::new).take(self.pile.slots).collect(),
        };
        let mut parts = BTreeSet::new();
        for &slot in &slots {
            self.each_bundle(|items| {
                if self.value(slot, items).is_some() {
                    parts.extend(items.iter().map(|item| self.parts[item.index()]));
                }
            });
        }
        Ok((slots.iter().map(|slot| slot.index()).collect(), parts.into_iter().collect()))
    }

    /// The smallest outward change of a limit on single positions with which a plan is found, by bisecting over the
    /// distances by which bundles miss it.
    fn enough(&self, limit: usize) -> Result<Option<i64>, PlanError> {
        let steps = self.shortfalls(limit);
        let with = |ticks| -> Result<bool, PlanError> {
            let moved = Several::new(self.question, Relaxed { moved: Some((limit, ticks)), ..self.relaxed })?;
            Ok(moved.outcome()?.arrangement().is_some())
        };
        match steps.last() {
            Some(&last) if with(last)? => {}
            _ => return Ok(None),
        }
        let (mut low, mut high) = (0, steps.len() - 1);
        while low < high {
            let middle = low.midpoint(high);
            if with(steps[middle])? { high = middle } else { low = middle + 1 }
        }
        Ok(Some(steps[low]))
    }

    /// By how many ticks bundles that could stand miss the limit with this index: ascending, each distance once.
    fn shortfalls(&self, limit: usize) -> Vec<i64> {
        let mut missed = BTreeSet::new();
        for position in 0..self.pile.slots {
            self.each_bundle(|items| {
                if self.may_stand(position, items)
                    && let Some(seat) = self.seat(position, items)
                {
                    missed.insert(self.question.shortfall(limit, seat, self.relaxed.unguarded));
                }
            });
        }
        missed.into_iter().filter(|&ticks| ticks > 0).collect()
    }
}
