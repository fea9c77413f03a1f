//! Mass of the parts at a position.

use nalgebra::DMatrix;

use super::{Doubt, Fit, Seat};
use crate::job::{FitName, Job, Typed};
use crate::plan::Lack;
use crate::statistics::Dof;

/// The piston's own mass: it is the same in every position.
#[derive(Clone, Debug)]
pub struct MassFit {
    masses: Vec<Option<Typed>>,
}

impl MassFit {
    /// Takes the masses of the pistons from the job.
    ///
    /// # Errors
    /// [`Lack`] when no mass is given at all.
    pub fn new(job: &Job) -> Result<Self, Lack> {
        let lack = |what: &str| Lack { fit: FitName::Mass, what: what.to_owned() };
        let pistons = job.stock("piston").ok_or_else(|| lack("a stock of pistons"))?;
        let masses = pistons.columns.with_uncertainty("mass", job.stated_uncertainty("mass"));
        if masses.iter().all(Option::is_none) {
            return Err(lack("a `mass_g` column in the piston stock"));
        }
        Ok(Self { masses })
    }
}

impl Fit for MassFit {
    fn name(&self) -> FitName {
        FitName::Mass
    }

    fn value(&self, seat: Seat) -> Option<i64> {
        Some(self.masses.get(seat.part(0)?).copied()??.value)
    }

    fn doubt(&self, seat: Seat) -> Option<Doubt> {
        let mass = self.masses.get(seat.part(0)?).copied()??;
        Some(Doubt { u: mass.u, dof: Dof::INFINITE, from_line: false })
    }

    fn covariance(&self, seats: &[Seat]) -> DMatrix<f64> {
        DMatrix::from_fn(seats.len(), seats.len(), |row, column| {
            let (a, b) = (seats[row], seats[column]);
            let u = a.part(0).and_then(|part| self.masses[part]).map_or(0.0, |mass| mass.u);
            if a.part(0) == b.part(0) { u * u } else { 0.0 }
        })
    }
}
