//! The proofs of a choice of bundles, one a criterion, and the going over of them.

use pairwright_assign::Budget;
use pairwright_assign::several::{SeveralProblem, prove_several};
use pairwright_proof::{
    Bundles, Checked, Item, SeveralFault, SeveralProof, SeveralProofFault, Slot, Worth, check_bundles_within,
    check_several_proof_within,
};

use super::super::certificate::Certificate;
use super::super::certificate_joint::Witness;
use super::super::choose::{Chosen, PlanError};
use super::super::criteria::Criterion;
use super::super::layer::Layer;
use super::beside::Kept;
use super::bundles::Several;

/// Bundles that the making of a proof of the aim, or of what comes before it, may look at.
const EFFORT: u64 = 400_000_000;
/// The same of what comes after.
const LESS_EFFORT: u64 = 60_000_000;

/// Why no choice from a pile is better by a criterion, those before it held.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SeveralLevel {
    /// A choice that has the best value; `None` if the plan itself does. Needed only where the aim may give something.
    pub witness: Option<Witness>,
    /// The proof.
    pub proof: SeveralProof,
}

impl Several<'_> {
    /// Why no bundles are better, criterion after criterion as far as proofs are found.
    pub(in crate::plan) fn proofs(&self, chosen: &Chosen) -> Result<Vec<SeveralLevel>, PlanError> {
        let Some(own) = self.together(&chosen.parts, &chosen.seconds) else { return Ok(Vec::new()) };
        let (criteria, aim) = (self.criteria(), self.aim_at());
        let is_given = self.question.matching.aim.slack.is_some();
        let mut bests = chosen.values.clone();
        let mut levels = Vec::new();
        for at in 0..chosen.exact.max(1) {
            let mut best = &own;
            if at == aim && is_given {
                let Some(known) = self.best_by_aim.get() else { break };
                bests[at] = self.worth(criteria[at], known)?;
                best = if bests[at] == chosen.values[at] { best } else { known };
            }
            let Some(proof) = self.proof_of(at, best, &bests)? else { break };
            let witness = (best != &own).then(|| self.bare(best));
            let witness = witness.map(|Chosen { parts, seconds, .. }| Witness { parts, seconds, ..Witness::default() });
            levels.push(SeveralLevel { witness, proof });
        }
        Ok(levels)
    }

    /// The proof that nothing is better than these bundles, whose value is the best, after those of the criteria before.
    fn proof_of(&self, at: usize, bundles: &Bundles, bests: &[i128]) -> Result<Option<SeveralProof>, PlanError> {
        let (criteria, value, aim) = (self.criteria(), bests[at], self.aim_at());
        if at == aim
            && let Some((_, proof)) = self.proof.get().filter(|(known, _)| *known == value)
        {
            return Ok(Some(proof.clone()));
        }
        let kept = self.kept_before(at, bests);
        let holds = |proof: &SeveralProof| self.follows(criteria[at], &kept, bundles, value, proof).is_ok();
        if at == 0
            && aim == 0
            && let Some(proof) = self.proof_by_sum(value)?.filter(holds)
        {
            return Ok(Some(proof));
        }
        let Criterion { layer, measure, sense } = criteria[at];
        let worth = self.worth_in(layer);
        let worth = Worth::Function(&worth);
        let effort = if at <= aim { EFFORT } else { LESS_EFFORT };
        self.with_limits(Some(layer), &kept, |limits| {
            let problem = SeveralProblem::new(self.pile, &worth, measure, sense)?.with_effort(effort);
            Ok(prove_several(&problem.with_limits(limits)?, value, &Budget::default()).ok())
        })
    }

    /// The values of a layer, of bundles that may stand where they do.
    fn worth_in(&self, layer: Layer) -> impl Fn(Slot, &[Item]) -> Option<i64> + '_ {
        move |slot, items| {
            self.value(slot, items).and_then(|aim| match layer {
                Layer::Aim => Some(aim),
                other => self.layer_value(other, slot, items),
            })
        }
    }

    /// The limits of the match, and what the criteria before this one came to at best.
    fn kept_before(&self, at: usize, bests: &[i128]) -> Vec<Kept> {
        let settled = self.criteria().into_iter().zip(bests).enumerate().take(at);
        let settled =
            settled.map(|(at, (criterion, &value))| Kept::settled(criterion, value, self.given(at, criterion, value)));
        self.held.iter().copied().chain(settled).collect()
    }

    fn follows(
        &self,
        Criterion { layer, measure, sense }: Criterion,
        kept: &[Kept],
        bundles: &Bundles,
        value: i128,
        proof: &SeveralProof,
    ) -> Result<(), SeveralProofFault> {
        let worth = self.worth_in(layer);
        self.with_limits(Some(layer), kept, |limits| {
            check_several_proof_within(
                self.pile,
                &Worth::Function(&worth),
                limits,
                (measure, sense),
                bundles,
                value,
                proof,
            )
        })
    }

    /// Goes over a certificate: every rule, every limit and every value, and the proofs there are.
    pub(in crate::plan) fn check(&self, certificate: &Certificate) -> Result<Checked, PlanError> {
        let strange = || SeveralFault::NoItem { item: Item::new(u32::MAX) };
        // A file does not tell pieces of a type apart: those that stand in their place already are meant.
        let built = |parts: &[usize], seconds: &[usize]| {
            self.together(parts, seconds).map(|bundles| self.with_standing_pieces(bundles)).ok_or_else(strange)
        };
        let bundles = built(&certificate.parts, &certificate.seconds)?;
        let criteria = self.criteria();
        let values = &certificate.values;
        if values.len() != criteria.len() || certificate.several.len() > criteria.len() {
            return Err(SeveralFault::Length { expected: criteria.len(), found: values.len() }.into());
        }
        let mut bests = values.clone();
        for (at, &criterion) in criteria.iter().enumerate() {
            if let Some(SeveralLevel { witness, proof }) = certificate.several.get(at) {
                let witness = witness.as_ref().map(|Witness { parts, seconds, .. }| {
                    let other = built(parts, seconds)?;
                    bests[at] = self.worth(criterion, &other)?;
                    Ok::<_, PlanError>(other)
                });
                let witness = witness.transpose()?;
                let kept = self.kept_before(at, &bests);
                self.follows(criterion, &kept, witness.as_ref().unwrap_or(&bundles), bests[at], proof)?;
            }
            // What a criterion after the proven ones came to binds nothing; one that is proven gives as much as it may.
            let proven = certificate.several.len();
            let kept = self.kept_before(if at < proven { at + 1 } else { proven }, &bests);
            let worth = self.worth_in(criterion.layer);
            self.with_limits(Some(criterion.layer), &kept, |limits| {
                let worth = Worth::Function(&worth);
                check_bundles_within(self.pile, &worth, limits, criterion.measure, &bundles, values[at])
            })?;
        }
        Ok(Checked { levels: certificate.several.len(), of: values.len() })
    }
}

impl From<SeveralProofFault> for PlanError {
    fn from(fault: SeveralProofFault) -> Self {
        match fault {
            SeveralProofFault::Bundles(fault) => Self::RefusedBundles(fault),
            other => Self::RefusedSeveral(other),
        }
    }
}
