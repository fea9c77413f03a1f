//! Why no bundles give a plan.

use std::collections::BTreeSet;

use pairwright_assign::several::{SeveralOutcome, SeveralProblem, SeveralShortage, solve_several};
use pairwright_proof::{
    Bundles, Item, Measure, Sense, SeveralProof, SeveralStep, Slot, Worth, check_several_impossible_within,
};

use super::super::admission::Relaxed;
use super::super::choose::PlanError;
use super::super::layer::Layer;
use super::super::setting::Setting;
use super::beside::{Kept, Rule};
use super::bundles::Several;
use super::stages::searched;
use crate::plan::{Culprit, Impossible};

/// Bundles that may be looked at for one step of a bisection.
const EFFORT: u64 = 60_000_000;

/// Each limit with the smallest change of it alone that gives a plan, and the positions that compete.
pub(in crate::plan) fn severally(several: &Several<'_>) -> Result<Impossible, PlanError> {
    let question = several.question;
    let mut culprits = Vec::new();
    if let Some(least) = several.cheapest()? {
        culprits.push(Culprit::Spend { least });
    }
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
    let by_widest_band = several.by_widest;
    // Where plans within the limits only cost too much no positions compete.
    if let [Culprit::Spend { .. }, ..] = culprits.as_slice() {
        return Ok(Impossible { culprits, by_widest_band, ..Impossible::without_setting() });
    }
    let (positions, parts) = several.competing()?;
    Ok(Impossible { positions, parts, culprits, by_widest_band, ..Impossible::without_setting() })
}

impl Several<'_> {
    /// Why no bundles hold every limit; `None` where no proof is found, as where limits are held by wider guard bands than
    /// they may have.
    pub(in crate::plan) fn none_at_all(&self) -> Result<Option<SeveralProof>, PlanError> {
        let value = |slot, items: &[Item]| self.value(slot, items).map(|_| 0);
        let worth = Worth::Function(&value);
        let outcome = self.with_limits(None, &self.held, |limits| -> Result<SeveralOutcome, PlanError> {
            let problem = SeveralProblem::new(self.pile, &worth, Measure::Greatest, Sense::Least)?.with_effort(EFFORT);
            Ok(solve_several(&problem.with_limits(limits)?))
        })?;
        Ok(match outcome {
            SeveralOutcome::Impossible { proof, .. } if !self.by_widest => Some(proof),
            _ => None,
        })
    }

    pub(in crate::plan) fn check_none_at_all(&self, proof: &SeveralProof) -> Result<(), PlanError> {
        if self.by_widest {
            return Err(PlanError::OtherProof);
        }
        let value = |slot, items: &[Item]| self.value(slot, items).map(|_| 0);
        let worth = Worth::Function(&value);
        Ok(self.with_limits(None, &self.held, |limits| {
            check_several_impossible_within(self.pile, &worth, limits, proof)
        })?)
    }

    /// Any bundles that keep these limits.
    fn any(&self, kept: &[Kept]) -> Result<SeveralOutcome, PlanError> {
        let value = |slot, items: &[Item]| self.value(slot, items).map(|_| 0);
        self.best_by(None, &Worth::Function(&value), (Measure::Greatest, Sense::Least), kept)
    }

    fn best_by(
        &self,
        layer: Option<Layer>,
        worth: &Worth<'_>,
        (measure, sense): (Measure, Sense),
        kept: &[Kept],
    ) -> Result<SeveralOutcome, PlanError> {
        self.with_limits(layer, kept, |limits| {
            let problem = SeveralProblem::new(self.pile, worth, measure, sense)?.with_effort(EFFORT);
            Ok(solve_several(&problem.with_limits(limits)?.for_value_alone()))
        })
    }

    /// The least of a measure of a layer under these limits.
    fn least(&self, layer: Layer, measure: Measure, kept: &[Kept]) -> Result<Option<i128>, PlanError> {
        let value = |slot, items: &[Item]| self.value(slot, items).and_then(|_| self.layer_value(layer, slot, items));
        let outcome = self.best_by(Some(layer), &Worth::Function(&value), (measure, Sense::Least), kept)?;
        Ok(searched(&outcome).map(|found| found.value))
    }

    /// What plans within the limits cost at least, where that is more than may be spent.
    fn cheapest(&self) -> Result<Option<i64>, PlanError> {
        let others = self.held_whatever_it_costs();
        if others.len() == self.held.len() {
            return Ok(None);
        }
        Ok(self.least(Layer::Price, Measure::Total, &others)?.and_then(|least| i64::try_from(least).ok()))
    }

    /// Whether a limit keeps any bundle out.
    fn is_limited(&self) -> bool {
        let question = self.question;
        let over_all = self.held.iter().any(|kept| kept.of.is_some());
        over_all || (0..question.limits.len()).any(|limit| !self.shortfalls(limit).is_empty())
    }

    /// The positions that compete, and the parts that they have between them: those of a position without any bundle, of
    /// too few parts for some positions (Hall), or all of them.
    fn competing(&self) -> Result<(Vec<usize>, Vec<usize>), PlanError> {
        let value = |slot, items: &[Item]| self.value(slot, items).map(|_| 0);
        let worth = Worth::Function(&value);
        let problem = SeveralProblem::new(self.pile, &worth, Measure::Greatest, Sense::Least)?.with_effort(EFFORT);
        let slots = match solve_several(&problem) {
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

    /// The smallest outward change of a limit with which a plan is found.
    fn enough(&self, limit: usize) -> Result<Option<i64>, PlanError> {
        match self.held.iter().position(|kept| kept.of == Some(limit)) {
            Some(at) => self.enough_over_all(at),
            None => self.enough_by_position(limit),
        }
    }

    /// The same of a limit over all positions: without it, a spread is made as small as it goes; for neighbours the greatest
    /// difference is bisected.
    fn enough_over_all(&self, at: usize) -> Result<Option<i64>, PlanError> {
        let mut kept = self.held.clone();
        let own = kept.remove(at);
        let short = |value: i128, most: i128| i64::try_from(value - most).ok().filter(|&ticks| ticks > 0);
        let most = match own.rule {
            Rule::NoWorse { measure, than, .. } => {
                return Ok(self.least(own.layer, measure, &kept)?.and_then(|value| short(value, than)));
            }
            Rule::Neighbours(ticks) => ticks,
        };
        let apart = |bundles: &Bundles| {
            let values = self.layer_values(own.layer, bundles)?;
            let of = |(one, other): &(Slot, Slot)| (values[one.index()] - values[other.index()]).abs();
            self.neighbours.iter().map(of).max()
        };
        let Some(mut high) = self.any(&kept)?.arrangement().and_then(|found| apart(&found.bundles)) else {
            return Ok(None);
        };
        let mut low = most.max(-1) + 1;
        while low < high {
            let middle = low + (high - low) / 2;
            let with = [kept.as_slice(), &[Kept { rule: Rule::Neighbours(middle), ..own }]].concat();
            let outcome = self.any(&with)?;
            match (outcome.arrangement().and_then(|found| apart(&found.bundles)), &outcome) {
                (Some(found), _) => high = found,
                (None, SeveralOutcome::Undecided { .. }) => return Ok(None),
                (None, _) => low = middle + 1,
            }
        }
        Ok(short(high.into(), most.into()))
    }

    /// The same of a limit on single positions, by bisecting over the distances by which bundles miss it.
    fn enough_by_position(&self, limit: usize) -> Result<Option<i64>, PlanError> {
        let steps = self.shortfalls(limit);
        let with = |ticks| -> Result<bool, PlanError> {
            let relaxed = Relaxed { moved: Some((limit, ticks)), ..self.relaxed };
            let (moved, _) = Several::laid_out(self.question, relaxed)?;
            Ok(moved.any(&moved.held)?.arrangement().is_some())
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
