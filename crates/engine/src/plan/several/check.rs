//! The proof of a choice of bundles, and the going over of one.

use pairwright_assign::Budget;
use pairwright_assign::several::{SeveralProblem, prove_several};
use pairwright_proof::{
    Checked, Item, SeveralFault, SeveralProof, SeveralProofFault, Worth, check_bundles, check_choice,
    check_several_proof,
};

use super::super::certificate::Certificate;
use super::super::choose::{Chosen, PlanError};
use super::super::criteria::of_aim;
use super::bundles::Several;

/// Bundles that the making of a proof may look at.
const EFFORT: u64 = 400_000_000;

impl Several<'_> {
    /// Why no bundles have a better aim than a choice; `None` where no proof is found.
    pub(in crate::plan) fn proof(&self, chosen: &Chosen) -> Result<Option<SeveralProof>, PlanError> {
        let value = chosen.values[0];
        if let Some((_, proof)) = self.proof.get().filter(|(known, _)| *known == value) {
            return Ok(Some(proof.clone()));
        }
        let (measure, sense) = of_aim(&self.question.matching.aim);
        let worth = |slot, items: &[Item]| self.value(slot, items);
        let worth = Worth::Function(&worth);
        let bundles = self.together(&chosen.parts, &chosen.seconds);
        let holds = |proof: &SeveralProof| {
            let known = bundles.as_ref();
            known.is_some_and(|known| {
                check_several_proof(self.pile, &worth, (measure, sense), known, value, proof).is_ok()
            })
        };
        if let Some(proof) = self.proof_by_sum(value)?.filter(holds) {
            return Ok(Some(proof));
        }
        let problem = SeveralProblem::new(self.pile, &worth, measure, sense)?.with_effort(EFFORT);
        Ok(prove_several(&problem, value, &Budget::default()).ok())
    }

    /// Goes over a certificate: every rule and every value, and the aim's proof where there is one.
    pub(in crate::plan) fn check(&self, certificate: &Certificate) -> Result<Checked, PlanError> {
        let (parts, beside) = (&certificate.parts, &certificate.seconds);
        let strange = || SeveralFault::NoItem { item: Item::new(u32::MAX) };
        let bundles = self.together(parts, beside).ok_or_else(strange)?;
        let value = certificate.values.first().copied().unwrap_or(0);
        let (measure, sense) = of_aim(&self.question.matching.aim);
        let worth = |slot, items: &[Item]| self.value(slot, items);
        let worth = Worth::Function(&worth);
        match &certificate.several {
            Some(proof) => check_several_proof(self.pile, &worth, (measure, sense), &bundles, value, proof)?,
            None => check_bundles(self.pile, &worth, measure, &bundles, value)?,
        }
        // What comes after the aim is worth what it is said to be.
        let layout = self.layout(beside)?;
        let mut own = certificate.values.clone();
        own.iter_mut().zip(self.added(beside)).for_each(|(value, added)| *value -= added);
        check_choice(&layout.tables.problem()?.statement(), &layout.tables.choice(parts), &own)?;
        Ok(Checked { levels: usize::from(certificate.several.is_some()), of: certificate.values.len() })
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
