//! Totals and squares as limits on sums of costs, as the checker states them.

use crate::joint::ground::Triple;
use crate::joint::problem::JointAim;

/// Wider than any sum.
const WIDE: i128 = 1 << 64;

/// What is better than a value, among the choices with their sum within two ends: Σ cost ≤ base + times · (S − centre)².
///
/// With n slots and the sum S of their values, Σ(n·v − T)² = n·q + n·(S − T)² for the squares about the mean q and any T,
/// and n²·Σ(v − t)² = Σ(n·v − S)² + n·(S − n·t)² for squares from t.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scope {
    factor: i128,
    centre: i128,
    is_squared: bool,
    base: i128,
    times: i128,
    pub(super) low: i128,
    pub(super) high: i128,
}

/// What the slots have open by themselves.
#[derive(Debug)]
pub(super) struct Bounds {
    /// The least cost of every slot, and its smallest and largest value.
    of_slots: Vec<(i128, i64, i64)>,
    least: i128,
    pub(super) low: i128,
    pub(super) high: i128,
}

impl Scope {
    /// What is better than `value`; `sums` are the ends of the sums looked at, the known total if there is one.
    ///
    /// `None` if no sum of costs expresses the aim, or numbers grow too large.
    pub(super) fn better(
        aim: JointAim,
        slots: usize,
        value: i128,
        total: Option<i128>,
        sums: (i128, i128),
    ) -> Option<Self> {
        let slots = slots as i128;
        let most = value.checked_sub(1)?;
        let (low, high) = total.map_or((-WIDE, WIDE), |total| (total, total));
        let squared = |factor, centre, base| Self { factor, centre, is_squared: true, base, times: 0, low, high };
        match (aim, total) {
            (JointAim::Spread | JointAim::WorstFrom { .. }, _) => None,
            (JointAim::Total, _) => {
                let plain = squared(1, 0, most);
                Some(Self { is_squared: false, high: high.min(most), ..plain })
            }
            (JointAim::SquaresFrom { target }, None) => Some(squared(1, i128::from(target), most)),
            (JointAim::SquaresFrom { target }, Some(total)) => {
                let away = total - slots * i128::from(target);
                Some(squared(slots, total, most.checked_mul(slots * slots)? - slots * away * away))
            }
            (JointAim::SquaresAboutMean, Some(total)) => Some(squared(slots, total, most.checked_mul(slots)?)),
            (JointAim::SquaresAboutMean, None) => {
                let (low, high) = sums;
                let plain = squared(slots, (low + high).div_euclid(2), most.checked_mul(slots)?);
                Some(Self { times: slots, low, high, ..plain })
            }
        }
    }

    fn cost(&self, value: i64) -> i128 {
        let away = self.factor * i128::from(value) - self.centre;
        if self.is_squared { away * away } else { away }
    }

    /// The ends of the values that no slot's cost alone rules out.
    pub(super) fn reach(&self) -> (i64, i64) {
        if !self.is_squared {
            return (i64::MIN, i64::MAX);
        }
        let away = |sum: i128| (sum - self.centre).saturating_pow(2);
        let moved = self.times.saturating_mul(away(self.low).max(away(self.high)));
        let reach = self.base.saturating_add(moved).max(0).isqrt();
        let end = |value: i128| i64::try_from(value).unwrap_or(if value < 0 { i64::MIN } else { i64::MAX });
        let (low, high) = (self.centre - reach, self.centre.saturating_add(reach));
        // Rounded outwards.
        (end(low.div_euclid(self.factor)), end(high.div_euclid(self.factor)))
    }

    /// `None` if a slot has no triple.
    pub(super) fn bounds(&self, triples: &[Triple], slots: usize) -> Option<Bounds> {
        let mut of_slots: Vec<Option<(i128, i64, i64)>> = vec![None; slots];
        for triple in triples {
            let (cost, value) = (self.cost(triple.value), triple.value);
            let (least, low, high) = of_slots[usize::from(triple.slot)].get_or_insert((cost, value, value));
            (*least, *low, *high) = (cost.min(*least), value.min(*low), value.max(*high));
        }
        let of_slots: Vec<(i128, i64, i64)> = of_slots.into_iter().collect::<Option<_>>()?;
        let low = of_slots.iter().map(|&(_, low, _)| i128::from(low)).sum();
        let high = of_slots.iter().map(|&(.., high)| i128::from(high)).sum();
        let least = of_slots.iter().map(|&(least, ..)| least).sum();
        Some(Bounds { of_slots, least, low, high })
    }

    /// How much more than the least of all slots may be spent; below 0 nothing is better.
    pub(super) fn spare(&self, bounds: &Bounds) -> i128 {
        let away = |sum: i128| sum - self.centre;
        let moved = match self.times {
            0 => 0,
            times => {
                let (low, high) = (away(bounds.low.max(self.low)), away(bounds.high.min(self.high)));
                times.saturating_mul((low * low).max(high * high))
            }
        };
        self.base.saturating_add(moved).saturating_sub(bounds.least)
    }

    pub(super) fn misses(&self, bounds: &Bounds) -> bool {
        self.low > self.high || bounds.low > self.high || bounds.high < self.low
    }

    /// Drops what cannot be part of anything better, once; nothing where it is plain that nothing is.
    pub(super) fn keep_within(&self, triples: &mut Vec<Triple>, slots: usize) {
        let Some(bounds) = self.bounds(triples, slots) else { return };
        let spare = self.spare(&bounds);
        if spare < 0 || self.misses(&bounds) {
            return;
        }
        triples.retain(|triple| {
            let (least, low, high) = bounds.of_slots[usize::from(triple.slot)];
            let value = i128::from(triple.value);
            self.cost(triple.value) - least <= spare
                && bounds.low + value - i128::from(low) <= self.high
                && bounds.high + value - i128::from(high) >= self.low
        });
    }
}
