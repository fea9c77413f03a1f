//! Deck clearance from what it is made of: `throw + rod length + compression height − deck height`.

use super::budget::Budget;
use super::geometry::whole;
use super::given::{Given, Sizes, of_cylinders, of_engine, of_stock};
use super::source::{Owner, Size};
use super::stroke::Strokes;
use super::wanting::Wanting;
use super::{Cast, Seat};
use crate::job::{FitName, Job};
use crate::plan::Lack;

/// Deck clearance by the sizes of crank, rod, piston and block.
#[derive(Clone, Debug)]
pub(super) struct MadeDeck {
    piston: usize,
    rod: Option<usize>,
    strokes: Strokes,
    lengths: Sizes,
    /// The rod length of the engine, where no rod is in the seat.
    common_length: Option<Given>,
    heights: Sizes,
    decks: Sizes,
}

/// What a seat's deck clearance is the sum of, each with its sign and factor.
type Sum<'a> = [(&'a Given, f64); 4];

impl MadeDeck {
    /// # Errors
    /// [`Lack`] that names every size which is missing; only the readings where none of the piston's is there.
    pub(super) fn new(job: &Job, cast: &Cast) -> Result<Self, Lack> {
        let mut wanting = Wanting::default();
        let piston = wanting.need(cast.role("piston"), "a stock of pistons");
        let heights = of_stock(job, "piston", Owner::Piston, Size::CompressionHeight, "compression_height");
        if heights.is_empty() {
            let what = "dial readings: `[readings] deck` in the job file".to_owned();
            return Err(Lack { fit: FitName::Deck, what });
        }
        let strokes = wanting.need(Strokes::new(job), "`[engine] stroke` or a `throw` for the cylinders");
        let lengths = of_stock(job, "rod", Owner::Rod, Size::Length, "length");
        let common_length = of_engine(job, Size::Length, "rod_length", job.engine.rod_length);
        let rod = cast.role("rod").filter(|_| !lengths.is_empty());
        if rod.is_none() && common_length.is_none() {
            wanting.note("`[engine] rod_length` or a `length` column in the rod stock");
        }
        let common = of_engine(job, Size::DeckHeight, "deck_height", job.engine.deck_height);
        let decks = of_cylinders(job, Size::DeckHeight, "deck_height", common);
        if decks.is_empty() {
            wanting.note("`[engine] deck_height` or a `deck_height` for the cylinders");
        }
        match (piston, strokes) {
            (Some(piston), Some(strokes)) if wanting.is_empty() => {
                Ok(Self { piston, rod, strokes, lengths, common_length, heights, decks })
            }
            _ => Err(wanting.lack(FitName::Deck)),
        }
    }

    fn sum(&self, seat: Seat) -> Option<Sum<'_>> {
        let stroke = self.strokes.at(seat.position)?;
        let length = match self.rod.and_then(|rod| seat.part(rod)) {
            Some(rod) => self.lengths.at(rod)?,
            None => self.common_length.as_ref()?,
        };
        let height = self.heights.at(seat.part(self.piston)?)?;
        let deck = self.decks.at(seat.position)?;
        Some([(stroke.given, 0.5 * stroke.times), (length, 1.0), (height, 1.0), (deck, -1.0)])
    }

    pub(super) fn ticks(&self, seat: Seat) -> Option<i64> {
        whole(self.sum(seat)?.iter().map(|(given, by)| by * given.value).sum())
    }

    pub(super) fn shares(&self, seat: Seat) -> Option<Vec<f64>> {
        Some(self.sum(seat)?.iter().map(|(given, by)| by * given.value).collect())
    }

    pub(super) fn budget(&self, seat: Seat) -> Option<Budget> {
        Some(self.sum(seat)?.iter().fold(Budget::default(), |budget, (given, by)| budget.with(given, *by)))
    }
}
