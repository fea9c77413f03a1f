//! Going over a plan that was written down with its proof.

use pairwright_proof::Checked;

use super::run::guarded_tables;
use crate::job::Job;
use crate::plan::{Certificate, Lack, PlanError, Question};
use crate::reduction::Reduction;

/// What came of going over a certificate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Rechecked {
    /// Everything in it is true of this job.
    True(Checked),
    /// The match cannot even be tried with this job.
    Missing(Vec<Lack>),
}

/// Goes over the certificate of the match at `index`, `taken` being the parts that earlier matches
/// use. The tables are laid out anew from the job; nothing is solved.
///
/// # Errors
/// [`PlanError::Refused`] with what is wrong, or what [`match_job`](super::match_job) fails with.
pub fn recheck(job: &Job, index: usize, taken: &[usize], certificate: &Certificate) -> Result<Rechecked, PlanError> {
    let reduction = job.deck.as_ref().map(|deck| Reduction::new(job, deck, &[])).transpose()?;
    let question = match Question::new(job, index, reduction.as_ref(), taken) {
        Ok(question) => question,
        Err(lacks) => return Ok(Rechecked::Missing(lacks)),
    };
    let (tables, _) = guarded_tables(&question)?;
    tables.check(certificate).map(Rechecked::True)
}
