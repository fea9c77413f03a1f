//! Mass of the parts at a position.

use super::budget::{Budget, Composed};
use super::geometry::whole;
use super::given::{Given, Sizes, of_stock};
use super::source::{Owner, Size};
use super::{Cast, Seat};
use crate::job::{FitName, Job};
use crate::plan::Lack;

/// Whose mass it is; heads and gaskets do not move.
fn owner(job: &Job, kind: &str) -> Option<Owner> {
    match kind {
        "piston" => Some(Owner::Piston),
        "rod" => Some(Owner::Rod),
        "rocker" => Some(Owner::Rocker),
        "head" | "gasket" => None,
        _ => Owner::part(job, kind),
    }
}

/// The sum of the masses of the parts in a seat, of every kind whose stock has masses.
#[derive(Clone, Debug)]
pub(super) struct MassFit {
    /// Masses of each role with such a kind.
    kinds: Vec<(usize, Sizes)>,
}

impl MassFit {
    /// # Errors
    /// [`Lack`] when no mass is given at all.
    pub(super) fn new(job: &Job, cast: &Cast) -> Result<Self, Lack> {
        let masses = |(role, kind): (usize, &str)| {
            let masses = of_stock(job, kind, owner(job, kind)?, Size::Mass, "mass");
            (!masses.is_empty()).then_some((role, masses))
        };
        let kinds: Vec<_> = cast.kinds().enumerate().filter_map(masses).collect();
        if kinds.is_empty() {
            let moving = cast.kinds().find(|kind| owner(job, kind).is_some());
            let kind = moving.unwrap_or("piston");
            return Err(Lack { fit: FitName::Mass, what: format!("a `mass_g` column in the {kind} stock") });
        }
        Ok(Self { kinds })
    }

    /// Sums up the masses in a seat; `None` where a part of such a kind was not weighed, and where there is none.
    fn sum<T>(&self, seat: Seat, nothing: T, add: impl Fn(T, &Given) -> T) -> Option<T> {
        let mut any = false;
        let mut sum = nothing;
        for (role, masses) in &self.kinds {
            if let Some(part) = seat.part(*role) {
                sum = add(sum, masses.at(part)?);
                any = true;
            }
        }
        any.then_some(sum)
    }
}

impl Composed for MassFit {
    fn fit(&self) -> FitName {
        FitName::Mass
    }

    fn ticks(&self, seat: Seat) -> Option<i64> {
        whole(self.sum(seat, 0.0, |sum, mass| sum + mass.value)?)
    }

    fn budget(&self, seat: Seat) -> Option<Budget> {
        self.sum(seat, Budget::default(), |budget, mass| budget.with(mass, 1.0))
    }
}
