//! Deck clearance, from readings or from what it is made of.

use super::budget::{Budget, Composed};
use super::deck_made::MadeDeck;
use super::deck_read::ReadDeck;
use super::shift::Shift;
use super::{Cast, Seat};
use crate::job::{FitName, Job, Machined};
use crate::plan::Lack;
use crate::reduction::Reduction;

/// Deck clearance, positive with the piston above the deck: from dial readings where the job has
/// any, else from the sizes of crank, rod, piston and block.
#[derive(Clone, Debug)]
pub(super) struct DeckFit<'j> {
    from: From<'j>,
    piston: usize,
    /// What was cut since: it moves values and leaves their doubt as it is.
    machined: &'j Machined,
    /// So much higher than that.
    raised: i64,
}

#[derive(Clone, Debug)]
enum From<'j> {
    Read(ReadDeck<'j>),
    Made(MadeDeck),
}

impl<'j> DeckFit<'j> {
    /// # Errors
    /// [`Lack`] when there are neither readings nor all the sizes.
    pub(super) fn new(job: &'j Job, cast: &Cast, reduction: Option<&'j Reduction>) -> Result<Self, Lack> {
        let from = match reduction {
            Some(reduction) => From::Read(ReadDeck::new(job, cast, reduction)?),
            None => From::Made(MadeDeck::new(job, cast)?),
        };
        // Without pistons neither of them would be there.
        let piston = cast.role("piston").unwrap_or(usize::MAX);
        Ok(Self { from, piston, machined: &job.machined, raised: 0 })
    }

    /// The same with every piston higher by what the shift says.
    pub(super) fn shifted(self, shift: Shift) -> Self {
        Self { raised: shift.deck, ..self }
    }
}

impl DeckFit<'_> {
    /// The clearance as it was before anything was cut.
    pub(super) fn as_measured(&self, seat: Seat) -> Option<i64> {
        match &self.from {
            From::Read(read) => read.ticks(seat),
            From::Made(made) => made.ticks(seat),
        }
    }

    /// What the clearance is the sum of, in ticks: what each part, and what the position, adds.
    pub(super) fn shares(&self, seat: Seat) -> Option<Vec<f64>> {
        let mut shares = match &self.from {
            From::Read(read) => read.shares(seat),
            From::Made(made) => made.shares(seat),
        }?;
        let cut = self.machined.shares(seat.position, seat.part(self.piston)?);
        shares.extend(cut.into_iter().filter(|&share| share != 0).map(|share| share as f64));
        Some(shares)
    }
}

impl Composed for DeckFit<'_> {
    fn fit(&self) -> FitName {
        FitName::Deck
    }

    fn ticks(&self, seat: Seat) -> Option<i64> {
        let cut = self.machined.raised(seat.position, seat.part(self.piston)?);
        Some(self.as_measured(seat)? + cut + self.raised)
    }

    fn budget(&self, seat: Seat) -> Option<Budget> {
        match &self.from {
            From::Read(read) => read.budget(seat),
            From::Made(made) => made.budget(seat),
        }
    }

    fn reduction(&self) -> Option<&Reduction> {
        match &self.from {
            From::Read(read) => Some(read.reduction),
            From::Made(_) => None,
        }
    }
}
