//! The best that can be made of given parts.

use pairwright_assign::{Measure, Sense, Slot, Table};

use super::bundled::best_together;
use super::couples::best_couples;
use super::found::Found;
use super::sieve::sieved;
#[cfg(test)]
use super::tables::Tables;
use super::{Fitting, Numbers, PileError, Sought};
use crate::readings::{PartId, PositionId};

/// The parts to choose from: those of the stock, then further ones.
#[derive(Clone, Copy, Debug)]
pub(super) struct Choice<'p> {
    pub(super) stock: &'p Numbers,
    pub(super) further: &'p Numbers,
}

/// Whether a part is known or drawn.
pub(super) enum One<'p> {
    InStock(PartId, &'p [f64]),
    Further(&'p [f64]),
}

impl One<'_> {
    /// The part of the stock that it is.
    pub(super) fn in_stock(&self) -> Option<PartId> {
        if let Self::InStock(part, _) = *self { Some(part) } else { None }
    }
}

impl<'p> Choice<'p> {
    pub(super) fn len(self) -> usize {
        self.stock.len() + self.further.len()
    }

    /// The part at this place.
    pub(super) fn part(self, index: usize) -> One<'p> {
        match index.checked_sub(self.stock.len()) {
            None => One::InStock(PartId::new(u32::try_from(index).unwrap_or(u32::MAX)), self.stock.part(index)),
            Some(further) => One::Further(self.further.part(further)),
        }
    }

    fn firsts(self) -> impl Iterator<Item = f64> {
        self.stock.parts().chain(self.further.parts()).filter_map(|part| part.first()).copied()
    }
}

/// The best of what is sought, each part used once.
///
/// Solved exactly and checked; a total to which parts add the same everywhere takes the largest, or the smallest, parts.
pub(super) fn best<F: Fitting>(fit: &F, parts: Choice<'_>, sought: Sought) -> Result<Found, PileError> {
    if let Some(together) = fit.together() {
        return best_together(together, parts, sought);
    }
    if let Some(couples) = fit.couples() {
        return best_couples(couples, parts, sought);
    }
    match fit.factor().filter(|_| sought.measure() == Measure::Total) {
        Some(factor) => Ok(total(fit, parts, factor, sought).map_or(Found::NOTHING, Found::proven)),
        None => sieved(fit, parts, sought),
    }
}

/// By choosing anew from a table of all parts.
#[cfg(test)]
pub(super) fn by_choice<F: Fitting>(fit: &F, parts: Choice<'_>, sought: Sought) -> Result<Found, PileError> {
    let places: Vec<usize> = (0..parts.len()).collect();
    let value = |slot: Slot, place: usize| {
        whole(match parts.part(place) {
            One::InStock(part, numbers) => fit.value_in_stock(position(slot), part, numbers),
            One::Further(numbers) => fit.value(position(slot), numbers),
        }?)
    };
    Tables::new(fit, parts, sought, &places, value)?.best()
}

fn total<F: Fitting>(fit: &F, parts: Choice<'_>, factor: f64, sought: Sought) -> Option<f64> {
    let kept = kept(parts, fit.positions(), factor, sought)?;
    Some(turned(base(fit), sought) + kept.iter().sum::<f64>()).map(|best| turned(best, sought))
}

/// What the parts that a total keeps add to it, turned so that more is better; `None` if there are too few parts.
pub(super) fn kept(parts: Choice<'_>, positions: usize, factor: f64, sought: Sought) -> Option<Vec<f64>> {
    let mut worth: Vec<f64> = parts.firsts().map(|number| turned(factor * number, sought)).collect();
    if worth.len() < positions {
        return None;
    }
    worth.sort_unstable_by(|one, other| other.total_cmp(one));
    worth.truncate(positions);
    Some(worth)
}

/// The total of what the positions bring by themselves.
fn base<F: Fitting>(fit: &F) -> f64 {
    let positions = (0..).map(PositionId::new).take(fit.positions());
    positions.filter_map(|position| fit.value(position, &[0.0])).sum()
}

/// The value turned so that more of it is better.
pub(super) fn turned(value: f64, sought: Sought) -> f64 {
    if sought.sense() == Sense::Most { value } else { -value }
}

pub(super) fn position(slot: Slot) -> PositionId {
    PositionId::new(slot.number())
}

/// Whole ticks; a value far beyond what the solver takes stands for no value.
#[expect(clippy::cast_possible_truncation, reason = "the range is looked at")]
pub(super) fn whole(value: f64) -> Option<i64> {
    let limit = Table::LIMIT as f64;
    (-limit..=limit).contains(&value).then(|| value.round() as i64)
}
