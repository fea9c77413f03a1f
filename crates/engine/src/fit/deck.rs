//! Deck clearance, from readings or from what it is made of.

use super::budget::{Budget, Composed};
use super::deck_made::MadeDeck;
use super::deck_read::ReadDeck;
use super::{Cast, Seat};
use crate::job::{FitName, Job};
use crate::plan::Lack;
use crate::reduction::Reduction;

/// Deck clearance, positive with the piston above the deck: from dial readings where the job has
/// any, else from the sizes of crank, rod, piston and block.
#[derive(Clone, Debug)]
pub(super) enum DeckFit<'j> {
    Read(ReadDeck<'j>),
    Made(MadeDeck),
}

impl<'j> DeckFit<'j> {
    /// # Errors
    /// [`Lack`] when there are neither readings nor all the sizes.
    pub(super) fn new(job: &'j Job, cast: &Cast, reduction: Option<&'j Reduction>) -> Result<Self, Lack> {
        Ok(match reduction {
            Some(reduction) => Self::Read(ReadDeck::new(job, cast, reduction)?),
            None => Self::Made(MadeDeck::new(job, cast)?),
        })
    }
}

impl DeckFit<'_> {
    /// What the clearance is the sum of, in ticks: what each part, and what the position, adds.
    pub(super) fn shares(&self, seat: Seat) -> Option<Vec<f64>> {
        match self {
            Self::Read(read) => read.shares(seat),
            Self::Made(made) => made.shares(seat),
        }
    }
}

impl Composed for DeckFit<'_> {
    fn fit(&self) -> FitName {
        FitName::Deck
    }

    fn ticks(&self, seat: Seat) -> Option<i64> {
        match self {
            Self::Read(read) => read.ticks(seat),
            Self::Made(made) => made.ticks(seat),
        }
    }

    fn budget(&self, seat: Seat) -> Option<Budget> {
        match self {
            Self::Read(read) => read.budget(seat),
            Self::Made(made) => made.budget(seat),
        }
    }

    fn reduction(&self) -> Option<&Reduction> {
        match self {
            Self::Read(read) => Some(read.reduction),
            Self::Made(_) => None,
        }
    }
}
