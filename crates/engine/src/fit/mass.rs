//! Mass of the parts at a position.

use super::budget::{Budget, Composed};
use super::geometry::whole;
use super::given::{Given, Sizes, of_stock};
use super::source::{Owner, Size};
use super::{Cast, Seat};
use crate::job::{FitName, Job};
use crate::plan::Lack;

/// The kinds that go up and down at a position.
const MOVING: [(&str, Owner); 2] = [("piston", Owner::Piston), ("rod", Owner::Rod)];

/// The sum of the masses of the parts in a seat, of every kind whose stock has masses.
#[derive(Clone, Debug)]
pub(super) struct MassFit {
    /// Role and masses of each such kind.
    kinds: Vec<(usize, Sizes)>,
}

impl MassFit {
    /// # Errors
    /// [`Lack`] when no mass is given at all.
    pub(super) fn new(job: &Job, cast: &Cast) -> Result<Self, Lack> {
        let masses = |(kind, owner): (&str, Owner)| {
            let masses = of_stock(job, kind, owner, Size::Mass, "mass");
            (!masses.is_empty()).then_some((cast.role(kind)?, masses))
        };
        let kinds: Vec<_> = MOVING.into_iter().filter_map(masses).collect();
        if kinds.is_empty() {
            return Err(Lack { fit: FitName::Mass, what: "a `mass_g` column in the piston stock".to_owned() });
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
