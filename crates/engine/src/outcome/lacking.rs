//! What the matches of a job would still need.

use crate::job::Job;
use crate::plan::{Lack, PlanError, Question, Taken};
use crate::readings::Untied;
use crate::reduction::Reductions;

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
    /// Only spare parts are without a reading: a match can be made, and would have a wider choice with
    /// them.
    WiderChoice(Untied),
}

/// Everything that the matches of a job would still need, found without planning.
///
/// # Errors
/// [`PlanError::Reduce`] when the readings cannot be reduced.
pub fn lacking(job: &Job) -> Result<Vec<Lacking>, PlanError> {
    let reductions = Reductions::new(job)?;
    let nothing = Taken::default();
    let for_match = |index| {
        let lacks = Question::new(job, index, &reductions, &nothing).err()?;
        Some(Lacking::ForMatch { index, lacks })
    };
    let mut lacking: Vec<Lacking> = (0..job.matches.len()).filter_map(for_match).collect();
    lacking.extend(
        reductions.deck.and_then(|reduction| reduction.into_report().untied).map(|untied| untied_as(job, untied)),
    );
    Ok(lacking)
}

/// A need, unless all that is apart are parts without a reading and the others fill every position.
fn untied_as(job: &Job, untied: Untied) -> Lacking {
    let usable = |part: &crate::job::Part| !part.fits.as_ref().is_some_and(Vec::is_empty);
    let parts = job.stock("piston").map_or(0, |stock| stock.parts.iter().filter(|part| usable(part)).count());
    let positions = job.positions("cylinder").map_or(0, crate::job::Positions::len);
    let only_parts = untied.positions.is_empty() && untied.ties.len() == untied.parts.len();
    if only_parts && parts >= positions + untied.parts.len() {
        Lacking::WiderChoice(untied)
    } else {
        Lacking::Ties(untied)
    }
}
