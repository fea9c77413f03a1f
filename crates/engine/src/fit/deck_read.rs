//! Deck clearance from readings: the piston's effect, the cylinder's, and the difference of rods.
//!
//! `e = h_i + d_j + L − L_i`, with L the length of the rod in the seat and `L_i` that of the rod on
//! which the piston was read. The two cancel, errors and all, where they are the same rod. A piston
//! that was read on several rods was brought to one of them by their lengths, whose errors then enter.

use super::budget::Budget;
use super::geometry::whole;
use super::given::{Given, Sizes, of_stock};
use super::source::{Owner, Size};
use super::{Cast, Seat};
use crate::job::{FitName, Job};
use crate::plan::Lack;
use crate::reduction::{Pair, Reduction};

/// Deck clearance by dial readings.
#[derive(Clone, Debug)]
pub(super) struct ReadDeck<'j> {
    pub(super) reduction: &'j Reduction,
    piston: usize,
    rod: Option<usize>,
    lengths: Sizes,
    /// All rods are of one length, or no length is known.
    alike: bool,
}

/// How the rod in a seat compares with the rod of the readings.
enum Rods<'a> {
    /// Nothing to add: the same rod, or nothing known of any.
    Same,
    /// Another rod: the length to add and that to take away.
    Other(&'a Given, &'a Given),
}

impl<'j> ReadDeck<'j> {
    /// # Errors
    /// [`Lack`] without pistons, and when rods of different lengths are placed and nothing says which of them
    /// the readings were taken on.
    pub(super) fn new(job: &'j Job, cast: &Cast, reduction: &'j Reduction) -> Result<Self, Lack> {
        let lack = |what: &str| Lack { fit: FitName::Deck, what: what.to_owned() };
        let piston = cast.role("piston").ok_or_else(|| lack("a stock of pistons"))?;
        let lengths = of_stock(job, "rod", Owner::Rod, Size::Length, "length");
        let rod = cast.role("rod");
        let alike = lengths.are_alike();
        if !alike && rod.is_some() && !reduction.knows_rods() {
            return Err(lack(
                "the rod that the readings were taken on (`rod` in `[readings] deck`, or a `rod` column in its file), \
                 since the rods differ in length",
            ));
        }
        Ok(Self { reduction, piston, rod, lengths, alike })
    }

    fn pair(&self, seat: Seat) -> Option<Pair> {
        Some(Pair { position: seat.position, part: seat.part(self.piston)? })
    }

    /// A seat without a rod is taken to have the control rod, one without any rod to be as it was read.
    fn rods(&self, seat: Seat, piston: usize) -> Option<Rods<'_>> {
        let own = self.rod.and_then(|rod| seat.part(rod));
        let Some(on) = own.or(self.reduction.control_rod()) else { return Some(Rods::Same) };
        let read_on = self.reduction.read_on(piston);
        if read_on == Some(on) {
            return Some(Rods::Same);
        }
        match (self.lengths.at(on), read_on.and_then(|rod| self.lengths.at(rod))) {
            (Some(on), Some(read_on)) => Some(Rods::Other(on, read_on)),
            _ => (own.is_none() || self.alike).then_some(Rods::Same),
        }
    }

    pub(super) fn ticks(&self, seat: Seat) -> Option<i64> {
        let pair = self.pair(seat)?;
        let read = self.reduction.value(pair)?;
        Some(match self.rods(seat, pair.part)? {
            Rods::Same => read,
            Rods::Other(on, read_on) => read + whole(on.value - read_on.value)?,
        })
    }

    pub(super) fn shares(&self, seat: Seat) -> Option<Vec<f64>> {
        let pair = self.pair(seat)?;
        let mut shares: Vec<f64> = self.reduction.shares(pair)?.into_iter().map(|share| share as f64).collect();
        if let Rods::Other(on, read_on) = self.rods(seat, pair.part)? {
            shares.extend([on.value, -read_on.value]);
        }
        Some(shares)
    }

    pub(super) fn budget(&self, seat: Seat) -> Option<Budget> {
        let pair = self.pair(seat)?;
        self.reduction.value(pair)?;
        let corrected = self.reduction.by_rod(pair).filter_map(|(rod, by)| Some((self.lengths.at(rod)?, by)));
        let read = corrected.fold(Budget::read(pair), |budget, (length, by)| budget.with(length, by));
        Some(match self.rods(seat, pair.part)? {
            Rods::Same => read,
            Rods::Other(on, read_on) => read.with(on, 1.0).with(read_on, -1.0),
        })
    }
}
