//! The proofs of a choice of bundles, one a criterion, and the going over of them.

use pairwright_assign::Budget;
use pairwright_assign::several::{SeveralProblem, prove_several};
use pairwright_proof::{
    Bundles, Checked, Item, SeveralFault, SeveralProof, SeveralProofFault, Slot, Worth, check_bundles_within,
    check_several_proof_within,
};

use super::super::certificate::Certificate;
use super::super::choose::{Chosen, PlanError};
use super::super::criteria::Criterion;
use super::super::layer::Layer;
use super::beside::Kept;
use super::bundles::Several;

/// Bundles that the making of a proof of the aim, or of what comes before it, may look at.
const EFFORT: u64 = 400_000_000;
/// The same of what comes after.
const LESS_EFFORT: u64 = 60_000_000;

impl Several<'_> {
    /// Why no bundles are better, criterion after criterion as far as proofs are found.
    pub(in crate::plan) fn proofs(&self, chosen: &Chosen) -> Result<Vec<SeveralProof>, PlanError> {
        let Some(bundles) = self.together(&chosen.parts, &chosen.seconds) else { return Ok(Vec::new()) };
        let mut proofs = Vec::new();
        for at in 0..chosen.exact.max(1) {
            match self.proof_of(at, &bundles, &chosen.values)? {
                Some(proof) => proofs.push(proof),
                None => break,
            }
        }
        Ok(proofs)
    }

    fn proof_of(&self, at: usize, bundles: &Bundles, values: &[i128]) -> Result<Option<SeveralProof>, PlanError> {
        let (criteria, value, aim) = (self.criteria(), values[at], self.aim_at());
        if at == aim
            && let Some((_, proof)) = self.proof.get().filter(|(known, _)| *known == value)
        {
            return Ok(Some(proof.clone()));
        }
        let kept = self.kept_before(at, values);
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

    /// The limits of the match, and what the criteria before this one came to.
    fn kept_before(&self, at: usize, values: &[i128]) -> Vec<Kept> {
        let settled = self.criteria().into_iter().zip(values).enumerate().take(at);
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
        let bundles = self.together(&certificate.parts, &certificate.seconds).ok_or_else(strange)?;
        let criteria = self.criteria();
        let values = &certificate.values;
        if values.len() != criteria.len() || certificate.several.len() > criteria.len() {
            return Err(SeveralFault::Length { expected: criteria.len(), found: values.len() }.into());
        }
        for (at, &criterion) in criteria.iter().enumerate() {
            // What a criterion after the proven ones came to binds nothing.
            let kept = self.kept_before(at.min(certificate.several.len()), values);
            if let Some(proof) = certificate.several.get(at) {
                self.follows(criterion, &kept, &bundles, values[at], proof)?;
                continue;
            }
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
