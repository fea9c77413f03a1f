//! Values and labels as JSON takes them.

use std::collections::BTreeMap;

use pairwright_engine::job::FitName;
use pairwright_engine::quantity::Unit;

use super::document::Quantity;
use crate::render::view::{View, number};

/// Ticks as a value with its unit.
pub(super) fn quantity(ticks: f64, unit: Unit) -> Quantity {
    Quantity { value: number(ticks, unit), unit: unit.symbol().to_owned() }
}

impl View<'_> {
    /// A value of a fit.
    pub(super) fn of_fit(self, fit: FitName, ticks: i64) -> Quantity {
        quantity(ticks as f64, self.unit_of(fit))
    }

    /// Labels of positions.
    pub(super) fn position_ids(self, indices: &[usize]) -> Vec<String> {
        indices.iter().map(|&index| self.position(index).to_owned()).collect()
    }

    /// Labels of parts of the first role.
    pub(super) fn part_ids(self, indices: &[usize]) -> Vec<String> {
        indices.iter().map(|&index| self.part(0, index).to_owned()).collect()
    }

    /// Position to part, for one part a position.
    pub(super) fn parts_by_position(self, parts: &[usize]) -> BTreeMap<String, String> {
        let pair =
            |(position, &part): (usize, &usize)| (self.position(position).to_owned(), self.part(0, part).to_owned());
        parts.iter().enumerate().map(pair).collect()
    }
}

/// A finite number, or nothing: JSON has no infinity.
pub(super) fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}
