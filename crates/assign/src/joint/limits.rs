//! Limits on sums: what further quantities may come to over all slots.

use super::descend::Window;
use super::ground::{Ground, Triple};
use pairwright_proof::{Couple, JointChoice, Measure, Outer, Slot};
use std::fmt;

/// A limit on the total or the squares of a further quantity over all slots of a choice.
///
/// Criteria that were settled before leave such limits for those that come after them.
#[derive(Clone, Copy)]
pub struct SumLimit<'a> {
    /// The quantity, for an outer choice, a slot and its two items; `None` where they must not come together. It
    /// always gives the same answer, within ±2⁴².
    pub worth: &'a (dyn Fn(Outer, Slot, Couple) -> Option<i64> + Sync),
    /// How its values are counted together: as their total, or as squares from a target or about the mean.
    pub measure: Measure,
    /// What the measure may come to.
    pub most: i128,
}

impl fmt::Debug for SumLimit<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("SumLimit").field("measure", &self.measure).field("most", &self.most).finish_non_exhaustive()
    }
}

impl SumLimit<'_> {
    /// Whether a choice keeps it; false for measures that are no sums.
    pub(crate) fn holds(&self, choice: &JointChoice) -> bool {
        let items = choice.first.items().iter().zip(choice.second.items());
        let worth = |(slot, (&first, &second))| (self.worth)(choice.outer, Slot::new(slot), Couple { first, second });
        let Some(values) = (0..).zip(items).map(worth).collect::<Option<Vec<i64>>>() else { return false };
        let mut sums = Sums::default();
        for &value in &values {
            sums.add(self.measure, value, 1);
        }
        sums.so_far(self.measure, values.len()).is_some_and(|sum| sum <= self.most)
    }
}

/// What is known of the picks so far.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    count: i128,
    /// Of costs, or of values where squares about the mean are asked for.
    sum: i128,
    squares: i128,
}

impl Sums {
    /// Adds a value, or takes it back with −1 for `times`.
    fn add(&mut self, measure: Measure, value: i64, times: i128) {
        let value = i128::from(value);
        self.count += times;
        self.sum += times * if measure == Measure::SquaresAboutMean { value } else { cost(measure, value) };
        self.squares += times * value * value;
    }

    /// What the measure comes to at least over so many slots: exactly, once all are picked, but for costs of open slots.
    /// `None` for a measure that is no sum.
    fn so_far(&self, measure: Measure, slots: usize) -> Option<i128> {
        match measure {
            Measure::Total | Measure::SquaresFrom { .. } => Some(self.sum),
            Measure::SquaresAboutMean if self.count == 0 => Some(0),
            // The others lie at the mean of those picked, at best.
            Measure::SquaresAboutMean => {
                let scaled = slots as i128 * (self.count * self.squares - self.sum * self.sum);
                Some(scaled / self.count + i128::from(scaled % self.count != 0))
            }
            _ => None,
        }
    }
}

fn cost(measure: Measure, value: i128) -> i128 {
    match measure {
        Measure::SquaresFrom { target } => (value - i128::from(target)).pow(2),
        _ => value,
    }
}

/// One limit inside a window.
#[derive(Debug)]
pub(super) struct Metered {
    measure: Measure,
    most: i128,
    /// Of the window's triples; `None` where the quantity has no value.
    values: Vec<Option<i64>>,
    root: Option<i64>,
    sums: Sums,
    /// Something was picked that has no value.
    missing: usize,
}

impl Metered {
    pub(super) fn all(ground: &Ground<'_>, window: &Window<'_>) -> Vec<Self> {
        let of = |limit: &SumLimit<'_>| {
            let worth = |triple: &Triple| {
                let filled = triple.filled();
                (limit.worth)(window.outer, filled.slot, filled.items)
            };
            Self {
                measure: limit.measure,
                most: limit.most,
                values: window.triples.iter().map(worth).collect(),
                root: window.root.as_ref().and_then(worth),
                sums: Sums::default(),
                missing: 0,
            }
        };
        ground.limits.iter().map(of).collect()
    }

    fn value(&self, at: Option<usize>) -> Option<i64> {
        at.map_or(self.root, |at| self.values.get(at).copied().flatten())
    }

    /// Picks the triple with this number, or the root.
    pub(super) fn take(&mut self, at: Option<usize>) {
        match self.value(at) {
            Some(value) => self.sums.add(self.measure, value, 1),
            None => self.missing += 1,
        }
    }

    /// The opposite of [`Self::take`].
    pub(super) fn give_back(&mut self, at: Option<usize>) {
        match self.value(at) {
            Some(value) => self.sums.add(self.measure, value, -1),
            None => self.missing -= 1,
        }
    }

    /// Whether no completion by open triples keeps the limit: each open slot takes the cheapest, at best.
    pub(super) fn is_exceeded(&self, slots: usize, open: &impl super::bits::Bits, triples: &[Triple]) -> bool {
        let Some(sum) = self.sums.so_far(self.measure, slots) else { return true };
        if self.missing > 0 {
            return true;
        }
        if self.measure == Measure::SquaresAboutMean {
            return sum > self.most;
        }
        let mut least: Vec<Option<i128>> = vec![None; slots];
        let mut left = open.clone();
        while let Some(at) = left.pop() {
            if let (Some(value), Some(triple)) = (self.values[at], triples.get(at)) {
                let cost = cost(self.measure, i128::from(value));
                let own = &mut least[usize::from(triple.slot)];
                *own = Some(own.map_or(cost, |known| known.min(cost)));
            }
        }
        sum + least.into_iter().flatten().sum::<i128>() > self.most
    }
}
