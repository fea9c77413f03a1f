//! Everything that the readings of a job are reduced to.

use super::{ChamberReduction, Reduction};
use crate::job::Job;
use crate::readings::ReduceError;

/// The reduced readings of a job, each where the job has such readings.
#[derive(Clone, Debug, Default)]
pub struct Reductions {
    /// Dial readings of deck clearance.
    pub deck: Option<Reduction>,
    /// Pours of chambers.
    pub chambers: Option<ChamberReduction>,
}

impl Reductions {
    /// Reduces all readings of a job.
    ///
    /// # Errors
    /// What [`Reduction::new`] fails with.
    pub fn new(job: &Job) -> Result<Self, ReduceError> {
        Self::without(job, &[], &[])
    }

    /// The same with these lines of the deck readings, and of the pours, left out as if the user had done so.
    ///
    /// # Errors
    /// What [`Reduction::new`] fails with.
    pub fn without(job: &Job, readings: &[u32], pours: &[u32]) -> Result<Self, ReduceError> {
        let deck = job.deck.as_ref().map(|deck| Reduction::new(job, deck, readings)).transpose()?;
        Ok(Self { deck, chambers: ChamberReduction::without(job, pours)? })
    }
}
