//! Going over a plan that was written down with its proof.

use pairwright_proof::Checked;

use crate::job::Job;
use crate::plan::{Certificate, Lack, NoPlan, PlanError, Question, Relaxed, RuledOut, Search, Taken};
use crate::reduction::Reductions;

/// What came of going over a certificate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Rechecked<T = Checked> {
    /// Everything in it is true of this job.
    True(T),
    /// The match cannot even be tried with this job.
    Missing(Vec<Lack>),
}

/// Goes over the certificate of the match at `index`, `taken` being the parts that earlier matches
/// use. The tables are laid out anew from the job; nothing is solved.
///
/// # Errors
/// [`PlanError::Refused`] with what is wrong, or what [`match_job`](super::match_job) fails with.
pub fn recheck(job: &Job, index: usize, taken: &Taken, certificate: &Certificate) -> Result<Rechecked, PlanError> {
    go_over(job, index, taken, |search| search.check(certificate))
}

/// The same of a proof that the match has no plan.
///
/// # Errors
/// [`PlanError::Stated`] where something else was asked for, a fault of the proof, or what
/// [`match_job`](super::match_job) fails with.
pub fn recheck_no_plan(
    job: &Job,
    index: usize,
    taken: &Taken,
    no_plan: &NoPlan,
) -> Result<Rechecked<RuledOut>, PlanError> {
    go_over(job, index, taken, |search| search.check_no_plan(no_plan))
}

fn go_over<T>(
    job: &Job,
    index: usize,
    taken: &Taken,
    check: impl FnOnce(&Search<'_>) -> Result<T, PlanError>,
) -> Result<Rechecked<T>, PlanError> {
    let reductions = Reductions::new(job)?;
    let question = match Question::new(job, index, &reductions, taken) {
        Ok(question) => question,
        Err(lacks) => return Ok(Rechecked::Missing(lacks)),
    };
    let search = Search::new(&question, Relaxed::default())?;
    check(&search).map(Rechecked::True)
}
