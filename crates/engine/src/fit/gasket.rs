//! What a compressed gasket adds: its thickness, and the volume inside it.

use super::budget::Budget;
use super::geometry::{circle, cylinder};
use super::given::{Sizes, of_stock};
use super::shift::Shift;
use super::source::{Owner, Size};
use crate::job::Job;

/// The gaskets of a job; a row is a type, and its error is common to every cylinder that has it.
#[derive(Clone, Debug)]
pub(super) struct Gaskets {
    pub(super) thicknesses: Sizes,
    bores: Sizes,
    volumes: Sizes,
}

impl Gaskets {
    /// The gaskets, every one of them thicker by what the shift says: a measured volume grows with it, as a cylinder of
    /// the opening where that is known, else in proportion.
    pub(super) fn new(job: &Job, shift: Shift) -> Self {
        let column = |size, name| of_stock(job, "gasket", Owner::Gasket, size, name);
        let (thicknesses, bores) = (column(Size::Thickness, "thickness"), column(Size::Bore, "bore"));
        let thicker = shift.gasket as f64;
        let grown = |gasket: usize, volume: f64| match (bores.at(gasket), thicknesses.at(gasket)) {
            (Some(bore), _) => volume + cylinder(circle(bore.value), thicker),
            (None, Some(thickness)) => volume * (1.0 + thicker / thickness.value),
            (None, None) => volume,
        };
        let volumes = column(Size::Volume, "gasket").changed(grown);
        Self { volumes, thicknesses: thicknesses.changed(|_, thickness| thickness + thicker), bores }
    }

    /// Whether no gasket has a volume, neither measured nor to be reckoned.
    pub(super) fn have_no_volume(&self) -> bool {
        self.volumes.is_empty() && (self.bores.is_empty() || self.thicknesses.is_empty())
    }

    /// The volume inside the gasket in ticks: as measured, else `π/4 · bore² · thickness`.
    pub(super) fn volume(&self, gasket: usize) -> Option<f64> {
        if let Some(measured) = self.volumes.at(gasket) {
            return Some(measured.value);
        }
        let (bore, thickness) = (self.bores.at(gasket)?, self.thicknesses.at(gasket)?);
        Some(cylinder(circle(bore.value), thickness.value))
    }

    /// What the error of that volume is made of.
    pub(super) fn budget(&self, gasket: usize) -> Option<Budget> {
        if let Some(measured) = self.volumes.at(gasket) {
            return Some(Budget::default().with(measured, 1.0));
        }
        let (bore, thickness) = (self.bores.at(gasket)?, self.thicknesses.at(gasket)?);
        let area = circle(bore.value);
        let by_bore = 2.0 * cylinder(area, thickness.value) / bore.value;
        Some(Budget::default().with(bore, by_bore).with(thickness, cylinder(area, 1.0)))
    }
}
