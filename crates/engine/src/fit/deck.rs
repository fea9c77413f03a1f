//! Deck clearance from readings: the piston's effect plus the cylinder's.

use nalgebra::DMatrix;

use super::{Doubt, Fit, Pair, Seat};
use crate::job::FitName;
use crate::plan::Lack;
use crate::reduction::Reduction;

/// Deck clearance, positive with the piston above the deck, predicted from dial readings for every
/// pair that they tie together.
#[derive(Clone, Copy, Debug)]
pub struct DeckFit<'r> {
    reduction: &'r Reduction,
}

impl<'r> DeckFit<'r> {
    /// Takes the reduced readings of a job.
    ///
    /// # Errors
    /// [`Lack`] when the job has no readings.
    pub fn new(reduction: Option<&'r Reduction>) -> Result<Self, Lack> {
        let what = "dial readings: `[readings] deck` in the job file".to_owned();
        let reduction = reduction.ok_or(Lack { fit: FitName::Deck, what })?;
        Ok(Self { reduction })
    }
}

impl Fit for DeckFit<'_> {
    fn name(&self) -> FitName {
        FitName::Deck
    }

    fn value(&self, seat: Seat) -> Option<i64> {
        self.reduction.value(pair(seat)?)
    }

    fn doubt(&self, seat: Seat) -> Option<Doubt> {
        self.reduction.doubt(pair(seat)?)
    }

    fn covariance(&self, seats: &[Seat]) -> DMatrix<f64> {
        self.reduction.covariance(&seats.iter().filter_map(|&seat| pair(seat)).collect::<Vec<_>>())
    }
}

fn pair(seat: Seat) -> Option<Pair> {
    Some(Pair { position: seat.position, part: seat.part(0)? })
}
