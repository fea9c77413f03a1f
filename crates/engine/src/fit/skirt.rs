//! Skirt clearance: `bore − piston diameter`.

use nalgebra::DMatrix;

use super::{Doubt, Fit, Seat};
use crate::job::{FitName, Job, Typed};
use crate::plan::Lack;
use crate::statistics::Dof;

/// Skirt clearance from the cylinders' bores and the pistons' diameters, both typed.
///
/// `u² = u_bore² + u_diameter²`. A bore that only `[engine]` states is one number for every
/// cylinder, so its error is common to all of them.
#[derive(Clone, Debug)]
pub struct SkirtFit {
    bores: Vec<Option<Typed>>,
    diameters: Vec<Option<Typed>>,
    common_bore: bool,
}

impl SkirtFit {
    /// Takes the bores of the cylinders (each one's own, else the engine's) and the diameters of
    /// the pistons from the job.
    ///
    /// # Errors
    /// [`Lack`] when no bore or no diameter is given at all.
    pub fn new(job: &Job) -> Result<Self, Lack> {
        let lack = |what: &str| Lack { fit: FitName::Skirt, what: what.to_owned() };
        let cylinders = job.positions("cylinder").ok_or_else(|| lack("cylinders"))?;
        let pistons = job.stock("piston").ok_or_else(|| lack("a stock of pistons"))?;
        let stated = job.stated_uncertainty("bore");
        let nominal = job.engine.bore.map(|bore| Typed::new(bore, stated));
        let measured = cylinders.columns.named("bore").is_some();
        let bores =
            if measured { cylinders.columns.with_uncertainty("bore", stated) } else { vec![nominal; cylinders.len()] };
        if bores.iter().all(Option::is_none) {
            return Err(lack("a `bore` for the cylinders (a column of the cylinders file, or `[engine] bore`)"));
        }
        let diameters = pistons.columns.with_uncertainty("diameter", job.stated_uncertainty("diameter"));
        if diameters.iter().all(Option::is_none) {
            return Err(lack("a `diameter` column in the piston stock"));
        }
        Ok(Self { bores, diameters, common_bore: !measured })
    }

    fn terms(&self, seat: Seat) -> Option<(Typed, Typed)> {
        Some((self.bores.get(seat.position).copied()??, self.diameters.get(seat.part(0)?).copied()??))
    }
}

impl Fit for SkirtFit {
    fn name(&self) -> FitName {
        FitName::Skirt
    }

    fn value(&self, seat: Seat) -> Option<i64> {
        let (bore, diameter) = self.terms(seat)?;
        Some(bore.value - diameter.value)
    }

    fn doubt(&self, seat: Seat) -> Option<Doubt> {
        let (bore, diameter) = self.terms(seat)?;
        Some(Doubt { u: bore.u.hypot(diameter.u), dof: Dof::INFINITE, from_line: false })
    }

    fn covariance(&self, seats: &[Seat]) -> DMatrix<f64> {
        DMatrix::from_fn(seats.len(), seats.len(), |row, column| {
            let (a, b) = (seats[row], seats[column]);
            let bore = self.bores[a.position].map_or(0.0, |bore| bore.u);
            let diameter = a.part(0).and_then(|part| self.diameters[part]).map_or(0.0, |diameter| diameter.u);
            let same_bore = if self.common_bore || a.position == b.position { bore * bore } else { 0.0 };
            let same_part = if a.part(0) == b.part(0) { diameter * diameter } else { 0.0 };
            same_bore + same_part
        })
    }
}
