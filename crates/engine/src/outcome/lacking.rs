//! What the matches of a job would still need.

use crate::job::Job;
use crate::plan::{Lack, PlanError, Question};
use crate::readings::Untied;
use crate::reduction::Reduction;

/// Something without which a match cannot be made, or not over all parts and positions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Lacking {
    /// A match cannot be tried.
    ForMatch {
        /// Index of the match.
        index: usize,
        /// What it needs.
        lacks: Vec<Lack>,
    },
    /// Readings do not tie all parts and positions together.
    Ties(Untied),
}

/// Everything that the matches of a job would still need, found without planning.
///
/// # Errors
/// [`PlanError::Reduce`] when the readings cannot be reduced.
pub fn lacking(job: &Job) -> Result<Vec<Lacking>, PlanError> {
    let reduction = job.deck.as_ref().map(|deck| Reduction::new(job, deck, &[])).transpose()?;
    let for_match = |index| {
        let lacks = Question::new(job, index, reduction.as_ref(), &[]).err()?;
        Some(Lacking::ForMatch { index, lacks })
    };
    let mut lacking: Vec<Lacking> = (0..job.matches.len()).filter_map(for_match).collect();
    lacking.extend(reduction.and_then(|reduction| reduction.into_report().untied).map(Lacking::Ties));
    Ok(lacking)
}
