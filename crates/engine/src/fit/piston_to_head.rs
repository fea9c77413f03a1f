//! Piston-to-head clearance: `thickness + recess − deck clearance`, between the flat faces.

use std::sync::Arc;

use super::budget::{Budget, Composed};
use super::deck::DeckFit;
use super::gasket::Gaskets;
use super::geometry::whole;
use super::given::{Given, Sizes, of_stock};
use super::shift::Shift;
use super::source::{Owner, Size};
use super::wanting::Wanting;
use super::{Cast, Ingredient, Made, Seat};
use crate::job::{FitName, Job};
use crate::plan::Lack;
use crate::reduction::Reduction;

/// Distance from the flat of the piston to the flat of the head. Domes and valve pockets are not covered.
#[derive(Clone, Debug)]
pub(super) struct PistonToHeadFit<'j> {
    deck: Arc<DeckFit<'j>>,
    gasket: usize,
    gaskets: Gaskets,
    head: Option<usize>,
    /// A head that says nothing of a recess has none: its face is nearer then, never farther.
    recesses: Sizes,
}

impl<'j> PistonToHeadFit<'j> {
    /// # Errors
    /// [`Lack`] without deck clearance or gaskets of known thickness.
    pub(super) fn new(
        job: &Job,
        cast: &Cast,
        deck: Result<&Arc<DeckFit<'j>>, &Lack>,
        shift: Shift,
    ) -> Result<Self, Lack> {
        let mut wanting = Wanting::default();
        let deck = wanting.deck(deck);
        let gaskets = Gaskets::new(job, shift);
        let gasket = wanting.need(cast.role("gasket"), "a stock of gaskets with their compressed `thickness`");
        if gasket.is_some() && gaskets.thicknesses.is_empty() {
            wanting.note("a `thickness` column in the gasket stock (compressed)");
        }
        let recesses = of_stock(job, "head", Owner::Head, Size::Recess, "recess");
        match (deck, gasket) {
            (Some(deck), Some(gasket)) if wanting.is_empty() => {
                Ok(Self { deck, gasket, gaskets, head: cast.role("head"), recesses })
            }
            _ => Err(wanting.lack(FitName::PistonToHead)),
        }
    }

    fn thickness(&self, seat: Seat) -> Option<&Given> {
        self.gaskets.thicknesses.at(seat.part(self.gasket)?)
    }

    fn recess(&self, seat: Seat) -> Option<&Given> {
        self.recesses.at(seat.part(self.head?)?)
    }
}

impl Composed for PistonToHeadFit<'_> {
    fn fit(&self) -> FitName {
        FitName::PistonToHead
    }

    fn ticks(&self, seat: Seat) -> Option<i64> {
        let recess = self.recess(seat).map_or(0.0, |recess| recess.value);
        whole(self.thickness(seat)?.value + recess - self.deck.ticks(seat)? as f64)
    }

    fn budget(&self, seat: Seat) -> Option<Budget> {
        let budget = Budget::default().with(self.thickness(seat)?, 1.0).with_all(&self.deck.budget(seat)?, -1.0);
        Some(match self.recess(seat) {
            Some(recess) => budget.with(recess, 1.0),
            None => budget,
        })
    }

    fn taken_apart(&self, seat: Seat) -> Option<Made> {
        let mut parts = vec![
            (Ingredient::Deck, -(self.deck.ticks(seat)? as f64)),
            (Ingredient::Gasket, self.thickness(seat)?.value),
        ];
        parts.extend(self.recess(seat).map(|recess| (Ingredient::Recess, recess.value)));
        Some(Made::Sum(parts))
    }

    fn reduction(&self) -> Option<&Reduction> {
        self.deck.reduction()
    }
}
