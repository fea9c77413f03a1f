//! Dividing a part by where the values of a table lie.

use super::rules::{Limit, Part};
use crate::best::Method;
use pairwright_proof::{Item, Slot, Table};

impl Limit<'_> {
    /// The widest spread of the criterion's table that a choice within the limit can have, if the limit says so.
    ///
    /// n·Σ(v − mean)² is at least n/2 times the spread squared.
    pub(crate) fn width(&self, slots: usize) -> Option<i128> {
        match Method::of(&self.criterion) {
            Method::Spread => Some(self.most),
            Method::AboutMean if self.most < 0 => Some(-1),
            Method::AboutMean => self.most.saturating_mul(2).checked_div(slots as i128).map(i128::isqrt),
            _ => None,
        }
    }
}

/// Two parts that have the choices of another one between them.
pub(crate) struct Halves {
    /// The largest smallest value of a choice of `below`.
    pub(crate) at: i128,
    /// All values up to `at` and the width.
    pub(crate) below: Part,
    /// All values above `at`.
    pub(crate) above: Part,
}

/// Two parts that have the choices of this one between them, by the lower end of the window that a choice's values
/// keep to: up to some value, or above it; `None` if the values left span at most `times` the width.
///
/// A lower end from which the window reaches the greatest value is as good as any other such one, so that each half
/// loses a value.
pub(crate) fn halves(table: &Table, width: i128, times: i128, part: &Part) -> Option<Halves> {
    let cell = |slot: Slot, item: Item| i128::from(table.row(slot)[item.index()]);
    let mut values: Vec<i128> = part.grid.pairs().map(|(slot, item)| cell(slot, item)).collect();
    values.sort_unstable();
    values.dedup();
    let (least, greatest) = (*values.first()?, *values.last()?);
    if greatest - least <= width.saturating_mul(times) {
        return None;
    }
    let ends = values.partition_point(|&value| value < greatest - width) + 1;
    let middle = ends / 2;
    let (at, from) = (*values.get(middle.checked_sub(1)?)?, *values.get(middle)?);
    let within = |low: i128, high: i128| {
        let mut half = part.clone();
        half.grid.retain(|slot, item| (low..=high).contains(&cell(slot, item)));
        half
    };
    Some(Halves { at, below: within(least, at + width), above: within(from, greatest) })
}
