//! A plan with its proof, and the going over of one.

use pairwright_assign::{Evidence, solve_with_proof};
use pairwright_proof::{Checked, Choice, Proof, check_proof};

use super::choose::{Chosen, PlanError};
use super::tables::Tables;

/// What it takes to check a plan without solving anything: the choice, what it is worth, and why
/// nothing is better.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Certificate {
    /// The part of every position, by index.
    pub parts: Vec<usize>,
    /// The value of every criterion, in order.
    pub values: Vec<i128>,
    /// The proof, level by level. Its items are the columns of the tables, which follow from the job.
    pub proof: Proof,
}

impl Tables {
    /// The certificate of a choice, as far as one can be given.
    pub(crate) fn certificate(&self, chosen: &Chosen) -> Result<Certificate, PlanError> {
        let proof = match solve_with_proof(&self.problem()?).1 {
            Evidence::Proof(proof) => proof,
            Evidence::Impossible(_) | Evidence::None => Proof::default(),
        };
        Ok(Certificate { parts: chosen.parts.clone(), values: chosen.values.clone(), proof })
    }

    /// Goes over a certificate; nothing is solved.
    ///
    /// # Errors
    /// [`PlanError::Refused`] with what is wrong.
    pub(crate) fn check(&self, certificate: &Certificate) -> Result<Checked, PlanError> {
        let choice = Choice::new(certificate.parts.iter().map(|&part| self.item(part)).collect());
        Ok(check_proof(&self.problem()?.statement(), &choice, &certificate.values, &certificate.proof)?)
    }
}
