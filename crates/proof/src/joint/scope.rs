//! Aims that are sums: what a slot costs, and what all may cost together.

use super::windows::Ends;
use crate::{JointStatement, Measure, Segment};

/// The choices that are better than claimed and have their sum within two ends, as a limit on the sum of the costs of all slots.
///
/// With n slots, the sum S of their values and any T, Σ(n·v − T)² = n·q + n·(S − T)², where q = n·Σv² − S² are the squares
/// about the mean. Squares from a target t are Σ(v − t)², and n² times that is Σ(n·v − S)² + n·(S − n·t)².
#[derive(Clone, Copy, Debug)]
pub(super) struct Scope {
    /// A value v costs (factor · v − centre)², or v itself.
    factor: i128,
    centre: i128,
    is_squared: bool,
    /// What all slots may cost, but for `times` · (S − centre)².
    base: i128,
    times: i128,
    /// The ends of the sum of all values.
    pub(super) low: i128,
    pub(super) high: i128,
}

/// Wider than any sum.
const WIDE: i128 = 1 << 64;

impl Scope {
    /// `None` if numbers leave the range of exact arithmetic, or the measure is no sum. `total` is the sum of all values if
    /// that is known.
    pub(super) fn of(
        statement: &JointStatement<'_>,
        measure: Measure,
        claimed: i128,
        segment: &Segment,
        total: Option<i128>,
    ) -> Option<Self> {
        let slots = statement.slots() as i128;
        let most = claimed.checked_sub(1)?;
        let (low, high) = total.map_or((-WIDE, WIDE), |total| (total, total));
        let of = |factor, centre, base| Self { factor, centre, is_squared: true, base, times: 0, low, high };
        match (measure, total) {
            (Measure::Total, _) => {
                let plain = of(1, 0, most);
                Some(Self { is_squared: false, high: high.min(most), ..plain })
            }
            (Measure::SquaresFrom { target }, None) => Some(of(1, i128::from(target), most)),
            (Measure::SquaresFrom { target }, Some(total)) => {
                let away = total.checked_sub(slots.checked_mul(i128::from(target))?)?;
                let about = slots.checked_mul(away.checked_mul(away)?)?;
                Some(of(slots, total, most.checked_mul(slots * slots)?.checked_sub(about)?))
            }
            (Measure::SquaresAboutMean, Some(total)) => Some(of(slots, total, most.checked_mul(slots)?)),
            (Measure::SquaresAboutMean, None) => {
                let (low, high) = (i128::from(segment.from), i128::from(segment.to));
                let plain = of(slots, (low + high).div_euclid(2), most.checked_mul(slots)?);
                Some(Self { times: slots, low, high, ..plain })
            }
            _ => None,
        }
    }

    /// What a value costs; values and centres are bounded, so that squares are.
    pub(super) fn cost(&self, value: i64) -> i128 {
        let away = self.factor.saturating_mul(i128::from(value)).saturating_sub(self.centre);
        if self.is_squared { away.saturating_mul(away) } else { away }
    }

    /// What all slots may cost where these are the ends of their sum.
    pub(super) fn most(&self, ends: &Ends) -> i128 {
        let away = |sum: i128| sum.saturating_sub(self.centre).saturating_pow(2);
        let (low, high) = (ends.low.max(self.low), ends.high.min(self.high));
        self.base.saturating_add(self.times.saturating_mul(away(low).max(away(high))))
    }

    /// The ends of the values whose own cost is not already too much, rounded outwards.
    pub(super) fn reach(&self) -> (i64, i64) {
        if !self.is_squared {
            return (i64::MIN, i64::MAX);
        }
        let away = |sum: i128| sum.saturating_sub(self.centre).saturating_pow(2);
        let moved = self.times.saturating_mul(away(self.low).max(away(self.high)));
        let reach = self.base.saturating_add(moved).max(0).isqrt();
        let end = |value: i128| i64::try_from(value).unwrap_or(if value < 0 { i64::MIN } else { i64::MAX });
        let (low, high) = (self.centre.saturating_sub(reach), self.centre.saturating_add(reach));
        (end(low.div_euclid(self.factor)), end(high.div_euclid(self.factor)))
    }
}
