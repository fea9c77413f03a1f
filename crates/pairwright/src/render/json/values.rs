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

    /// The label of a part of the kind that varies.
    pub(super) fn part_id(self, index: usize) -> String {
        self.part_of(self.first_kind(), index).to_owned()
    }

    /// Labels of parts of the kind that varies; empty where the match does not place it.
    pub(super) fn part_ids(self, indices: &[usize]) -> Vec<String> {
        if self.places_first_kind() { indices.iter().map(|&index| self.part_id(index)).collect() } else { Vec::new() }
    }

    /// Position to part of the kind that varies; empty where the match does not place it.
    pub(super) fn parts_by_position(self, parts: &[usize]) -> BTreeMap<String, String> {
        if self.places_first_kind() { self.by_position(self.first_kind(), parts) } else { BTreeMap::new() }
    }

    /// Role to position to part, for the further roles of the kind that varies; else for the kind that is chosen a position beside the one that varies; empty without
    /// one. Where its parts are mated with those that vary they follow from these.
    pub(super) fn other_parts(self, parts: &[usize], seconds: &[usize]) -> BTreeMap<String, BTreeMap<String, String>> {
        if let [_, further @ ..] = self.of_one_kind().as_slice() {
            let nth = |at: usize| seconds.iter().skip(at).step_by(further.len()).copied().collect::<Vec<usize>>();
            let of_role = |(at, &role): (usize, &usize)| {
                (self.role_name(role).to_owned(), self.by_position(self.kind(role), &nth(at)))
            };
            return further.iter().enumerate().map(of_role).collect();
        }
        let Some(kind) = self.second_kind() else { return BTreeMap::new() };
        let mated = || parts.iter().map(|&part| self.mate(kind, part)).collect::<Option<Vec<usize>>>();
        let seconds = if seconds.is_empty() { mated().unwrap_or_default() } else { seconds.to_vec() };
        if seconds.is_empty() {
            return BTreeMap::new();
        }
        BTreeMap::from([(kind.to_owned(), self.by_position(kind, &seconds))])
    }

    /// The part of `kind` that a part of the kind that varies is mated with.
    fn mate(self, kind: &str, part: usize) -> Option<usize> {
        let label = self.job.stock(self.first_kind())?.parts.get(part)?.with.as_ref()?;
        self.job.stock(kind)?.parts.iter().position(|mate| mate.id == *label)
    }

    fn by_position(self, kind: &str, parts: &[usize]) -> BTreeMap<String, String> {
        let pair = |(position, &part): (usize, &usize)| {
            (self.position(position).to_owned(), self.part_of(kind, part).to_owned())
        };
        parts.iter().enumerate().map(pair).collect()
    }
}

/// A finite number, or nothing: JSON has no infinity.
pub(super) fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}
