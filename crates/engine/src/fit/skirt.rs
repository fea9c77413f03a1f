//! Skirt clearance: `bore − piston diameter`.

use super::budget::{Budget, Composed};
use super::geometry::whole;
use super::given::{Given, Sizes, of_cylinders, of_engine, of_stock};
use super::source::{Owner, Size};
use super::wanting::Wanting;
use super::{Cast, Seat};
use crate::job::{FitName, Job};
use crate::plan::Lack;

/// Skirt clearance from the cylinders' bores and the pistons' diameters, both typed.
///
/// `u² = u_bore² + u_diameter²`. A bore that only `[engine]` states is one number for every
/// cylinder, so its error is common to all of them. Where the cylinders have bores of their own, one
/// that was not measured has none: the nominal size says nothing of a clearance of a few thousandths.
#[derive(Clone, Debug)]
pub(super) struct SkirtFit {
    piston: usize,
    bores: Sizes,
    diameters: Sizes,
}

impl SkirtFit {
    /// # Errors
    /// [`Lack`] when no bore or no diameter is given at all.
    pub(super) fn new(job: &Job, cast: &Cast) -> Result<Self, Lack> {
        let mut wanting = Wanting::default();
        let piston = wanting.need(cast.role("piston"), "a stock of pistons");
        let measured = job.positions("cylinder").is_some_and(|cylinders| cylinders.columns.named("bore").is_some());
        let nominal = of_engine(job, Size::Bore, "bore", job.engine.bore).filter(|_| !measured);
        let bores = of_cylinders(job, Size::Bore, "bore", nominal);
        if bores.is_empty() {
            wanting.note("a `bore` for the cylinders (a column of the cylinders file, or `[engine] bore`)");
        }
        let diameters = of_stock(job, "piston", Owner::Piston, Size::Diameter, "diameter");
        if diameters.is_empty() {
            wanting.note("a `diameter` column in the piston stock");
        }
        match piston {
            Some(piston) if wanting.is_empty() => Ok(Self { piston, bores, diameters }),
            _ => Err(wanting.lack(FitName::Skirt)),
        }
    }

    fn sizes(&self, seat: Seat) -> Option<(&Given, &Given)> {
        Some((self.bores.at(seat.position)?, self.diameters.at(seat.part(self.piston)?)?))
    }
}

impl Composed for SkirtFit {
    fn fit(&self) -> FitName {
        FitName::Skirt
    }

    fn ticks(&self, seat: Seat) -> Option<i64> {
        let (bore, diameter) = self.sizes(seat)?;
        whole(bore.value - diameter.value)
    }

    fn budget(&self, seat: Seat) -> Option<Budget> {
        let (bore, diameter) = self.sizes(seat)?;
        Some(Budget::default().with(bore, 1.0).with(diameter, -1.0))
    }
}
