//! Compression: `(swept + clearance) / clearance`.

use super::budget::{Budget, Composed};
use super::clearance::ClearanceFit;
use super::geometry::{RATIO, compression, cylinder, whole};
use super::stroke::Strokes;
use super::wanting::Wanting;
use super::{Made, Seat};
use crate::job::{FitName, Job};
use crate::plan::Lack;
use crate::reduction::Reduction;

/// Compression ratio in ticks of 1e-6; none where the clearance volume is not positive.
#[derive(Clone, Debug)]
pub(super) struct CompressionFit<'j> {
    clearance: ClearanceFit<'j>,
    strokes: Strokes,
}

impl<'j> CompressionFit<'j> {
    /// # Errors
    /// [`Lack`] that names everything missing.
    pub(super) fn new(job: &Job, clearance: Result<&ClearanceFit<'j>, &Lack>) -> Result<Self, Lack> {
        let mut wanting = Wanting::default();
        let clearance = clearance.map_err(|lack| wanting.note(&lack.what)).ok().cloned();
        let strokes = wanting.need(Strokes::new(job), "`[engine] stroke` or a `throw` for the cylinders");
        match (clearance, strokes) {
            (Some(clearance), Some(strokes)) => Ok(Self { clearance, strokes }),
            _ => Err(wanting.lack(FitName::Compression)),
        }
    }

    /// Swept and clearance volume in ticks.
    fn volumes(&self, seat: Seat) -> Option<(f64, f64)> {
        let bore = self.clearance.bore(seat.position)?;
        let swept = cylinder(bore.area, self.strokes.at(seat.position)?.value());
        Some((swept, self.clearance.volume(seat, bore)?))
    }
}

impl Composed for CompressionFit<'_> {
    fn fit(&self) -> FitName {
        FitName::Compression
    }

    fn ticks(&self, seat: Seat) -> Option<i64> {
        let (swept, clearance) = self.volumes(seat)?;
        whole(RATIO * compression(swept, clearance)?)
    }

    /// With `r = 1 + S/V`: `dr = dS/V − S/V² · dV`.
    fn budget(&self, seat: Seat) -> Option<Budget> {
        let (swept, clearance) = self.volumes(seat)?;
        let (bore, stroke) = (self.clearance.bore(seat.position)?, self.strokes.at(seat.position)?);
        let by_swept = RATIO / clearance;
        let by_clearance = -by_swept * swept / clearance;
        let by_stroke = cylinder(bore.area, stroke.times);
        Some(
            Budget::default()
                .with_all(&self.clearance.budget(seat)?, by_clearance)
                .with(bore.given, by_swept * 2.0 * swept / bore.given.value)
                .with(stroke.given, by_swept * by_stroke),
        )
    }

    fn taken_apart(&self, seat: Seat) -> Option<Made> {
        Some(Made::Compression { clearance: self.clearance.parts(seat)?, swept: self.volumes(seat)?.0 })
    }

    fn reduction(&self) -> Option<&Reduction> {
        self.clearance.reduction()
    }
}
