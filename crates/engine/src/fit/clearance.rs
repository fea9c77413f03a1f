//! Clearance volume: `chamber + gasket + dish + crevice − A · deck clearance`.

use std::sync::Arc;

use super::budget::{Budget, Composed};
use super::chamber::Chambers;
use super::deck::DeckFit;
use super::gasket::Gaskets;
use super::geometry::{circle, cylinder, whole};
use super::given::{Given, Sizes, of_cylinders, of_engine, of_stock};
use super::shift::Shift;
use super::source::{Owner, Size};
use super::wanting::Wanting;
use super::{Cast, Ingredient, Made, Seat};
use crate::job::{FitName, Job};
use crate::plan::Lack;
use crate::reduction::{ChamberReduction, Reduction};

/// What is left of the cylinder with the piston at the top, in ticks of 1e-6 cc.
#[derive(Clone, Debug)]
pub(super) struct ClearanceFit<'j> {
    deck: Arc<DeckFit<'j>>,
    roles: Roles,
    bores: Sizes,
    chambers: Chambers,
    gaskets: Gaskets,
    dishes: Sizes,
    /// Where neither a cylinder nor the engine has one, it counts as none.
    crevices: Sizes,
}

#[derive(Clone, Copy, Debug)]
struct Roles {
    piston: usize,
    head: usize,
    gasket: usize,
}

/// The bore of a cylinder with its area in nm².
#[derive(Clone, Copy, Debug)]
pub(super) struct Bore<'a> {
    pub(super) given: &'a Given,
    pub(super) area: f64,
}

impl<'j> ClearanceFit<'j> {
    /// # Errors
    /// [`Lack`] that names everything missing.
    pub(super) fn new(
        job: &Job,
        cast: &Cast,
        deck: Result<&Arc<DeckFit<'j>>, &Lack>,
        poured: Option<&ChamberReduction>,
        shift: Shift,
    ) -> Result<Self, Lack> {
        let mut wanting = Wanting::default();
        let deck = wanting.deck(deck);
        let bores = of_cylinders(job, Size::Bore, "bore", of_engine(job, Size::Bore, "bore", job.engine.bore));
        if bores.is_empty() {
            wanting.note("a `bore` for the cylinders (a column of the cylinders file, or `[engine] bore`)");
        }
        let dishes = of_stock(job, "piston", Owner::Piston, Size::Dish, "dish");
        if dishes.is_empty() {
            wanting.note("a `dish_cc` column in the piston stock (a dome negative, 0 for a flat crown)");
        }
        let gaskets = Gaskets::new(job, shift);
        if gaskets.have_no_volume() {
            wanting.note("a stock of gaskets with `thickness` and `bore`, or `gasket_cc`");
        }
        let chambers = Chambers::new(job, poured, shift, &mut wanting);
        let common = of_engine(job, Size::Crevice, "crevice", job.engine.crevice);
        let crevices = of_cylinders(job, Size::Crevice, "crevice", common);
        let roles = Roles::of(cast, &mut wanting);
        match (deck, chambers, roles) {
            (Some(deck), Some(chambers), Some(roles)) if wanting.is_empty() => {
                Ok(Self { deck, roles, bores, chambers, gaskets, dishes, crevices })
            }
            _ => Err(wanting.lack(FitName::ClearanceVolume)),
        }
    }

    pub(super) fn bore(&self, position: usize) -> Option<Bore<'_>> {
        let given = self.bores.at(position)?;
        Some(Bore { given, area: circle(given.value) })
    }

    /// The volume in ticks, not yet a whole number of them.
    pub(super) fn volume(&self, seat: Seat, bore: Bore<'_>) -> Option<f64> {
        let (chamber, dish) = (self.chamber(seat)?, self.dish(seat)?);
        let gasket = self.gaskets.volume(seat.part(self.roles.gasket)?)?;
        let crevice = self.crevices.at(seat.position).map_or(0.0, |crevice| crevice.value);
        let above = cylinder(bore.area, self.deck.ticks(seat)? as f64);
        Some(chamber.value + gasket + dish.value + crevice - above)
    }

    /// What the volume is the sum of, in ticks.
    pub(super) fn parts(&self, seat: Seat) -> Option<Vec<(Ingredient, f64)>> {
        let bore = self.bore(seat.position)?;
        let mut parts = vec![
            (Ingredient::Deck, -cylinder(bore.area, self.deck.ticks(seat)? as f64)),
            (Ingredient::Chamber, self.chamber(seat)?.value),
            (Ingredient::Dish, self.dish(seat)?.value),
            (Ingredient::Gasket, self.gaskets.volume(seat.part(self.roles.gasket)?)?),
        ];
        parts.extend(self.crevices.at(seat.position).map(|crevice| (Ingredient::Crevice, crevice.value)));
        Some(parts)
    }

    fn chamber(&self, seat: Seat) -> Option<&Given> {
        self.chambers.over(seat.part(self.roles.head)?, seat.position)
    }

    fn dish(&self, seat: Seat) -> Option<&Given> {
        self.dishes.at(seat.part(self.roles.piston)?)
    }
}

impl Roles {
    fn of(cast: &Cast, wanting: &mut Wanting) -> Option<Self> {
        let piston = wanting.need(cast.role("piston"), "a stock of pistons");
        let head = wanting.need(cast.role("head"), "a stock of heads with their chambers");
        let gasket =
            wanting.need(cast.role("gasket"), "a stock of gaskets with `thickness` and `bore`, or `gasket_cc`");
        Some(Self { piston: piston?, head: head?, gasket: gasket? })
    }
}

impl Composed for ClearanceFit<'_> {
    fn fit(&self) -> FitName {
        FitName::ClearanceVolume
    }

    /// What every part adds is rounded by itself, so that the volume is exactly a sum of what each of them adds where it
    /// stands: an arrangement of the same parts in equal bores has the same total.
    fn ticks(&self, seat: Seat) -> Option<i64> {
        let bore = self.bore(seat.position)?;
        let gasket = self.gaskets.volume(seat.part(self.roles.gasket)?)?;
        let crevice = self.crevices.at(seat.position).map_or(0.0, |crevice| crevice.value);
        let beside = [self.chamber(seat)?.value, gasket, self.dish(seat)?.value, crevice];
        let above = self.deck.shares(seat)?.into_iter().map(|share| -cylinder(bore.area, share));
        beside.into_iter().chain(above).map(whole).sum()
    }

    fn budget(&self, seat: Seat) -> Option<Budget> {
        let bore = self.bore(seat.position)?;
        let above = cylinder(bore.area, self.deck.ticks(seat)? as f64);
        let budget = Budget::default()
            .with(self.chamber(seat)?, 1.0)
            .with(self.dish(seat)?, 1.0)
            .with_all(&self.gaskets.budget(seat.part(self.roles.gasket)?)?, 1.0)
            .with_all(&self.deck.budget(seat)?, -cylinder(bore.area, 1.0))
            .with(bore.given, -2.0 * above / bore.given.value);
        Some(match self.crevices.at(seat.position) {
            Some(crevice) => budget.with(crevice, 1.0),
            None => budget,
        })
    }

    fn taken_apart(&self, seat: Seat) -> Option<Made> {
        self.parts(seat).map(Made::Sum)
    }

    fn reduction(&self) -> Option<&Reduction> {
        self.deck.reduction()
    }
}
