//! What a position makes of a part that is known by one number.

use crate::readings::PositionId;

/// A fit into which a part enters by one number: its effect, its mass, its diameter, its ratio.
pub trait OneNumber {
    /// How many positions there are.
    fn positions(&self) -> usize;

    /// The value of the fit, in ticks, where a part with this number stands there; `None` where it may not: outside
    /// a limit, or beyond what can be predicted.
    fn value(&self, position: PositionId, part: f64) -> Option<f64>;

    /// The factor of the part's number where it is the same everywhere and nothing is ruled out:
    /// `value = what the position brings + factor · part`. A total then has an exact expectation.
    fn factor(&self) -> Option<f64> {
        None
    }
}

/// `value = offset + factor · part`, within limits: a straight line a position.
///
/// Deck clearance has the factor 1 and the cylinder's effect as offset, skirt clearance −1 and the bore, lift the lobe's lift as factor and the
/// lash, taken away, as offset.
///
/// # Examples
/// ```
/// use pairwright_engine::pile::{Line, OneNumber};
/// use pairwright_engine::readings::PositionId;
///
/// let deck = Line::adding([0.0, -2_000.0]);
/// assert_eq!(deck.value(PositionId::new(1), 5_000.0), Some(3_000.0));
/// assert_eq!(deck.factor(), Some(1.0));
/// assert_eq!(deck.within(None, Some(4_000.0)).value(PositionId::new(0), 5_000.0), None);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    positions: Vec<Straight>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Straight {
    offset: f64,
    factor: f64,
    low: f64,
    high: f64,
}

impl Line {
    /// A line of `(offset, factor)` for every position, without limits.
    pub fn new(positions: impl IntoIterator<Item = (f64, f64)>) -> Self {
        let straight = |(offset, factor)| Straight { offset, factor, low: f64::NEG_INFINITY, high: f64::INFINITY };
        Self { positions: positions.into_iter().map(straight).collect() }
    }

    /// Parts that add their number to what each position brings.
    pub fn adding(effects: impl IntoIterator<Item = f64>) -> Self {
        Self::new(effects.into_iter().map(|effect| (effect, 1.0)))
    }

    /// The same, with values below `low` or above `high` ruled out everywhere, besides what was ruled out before.
    #[must_use]
    pub fn within(mut self, low: Option<f64>, high: Option<f64>) -> Self {
        for straight in &mut self.positions {
            straight.narrow(low, high);
        }
        self
    }

    /// The same, with values below `low` or above `high` ruled out at one position; a position beyond the last changes nothing.
    #[must_use]
    pub fn within_at(mut self, position: PositionId, low: Option<f64>, high: Option<f64>) -> Self {
        if let Some(straight) = self.positions.get_mut(position.index()) {
            straight.narrow(low, high);
        }
        self
    }
}

impl Straight {
    fn narrow(&mut self, low: Option<f64>, high: Option<f64>) {
        self.low = low.map_or(self.low, |low| self.low.max(low));
        self.high = high.map_or(self.high, |high| self.high.min(high));
    }

    fn is_free(&self) -> bool {
        self.low == f64::NEG_INFINITY && self.high == f64::INFINITY
    }
}

impl OneNumber for Line {
    fn positions(&self) -> usize {
        self.positions.len()
    }

    fn value(&self, position: PositionId, part: f64) -> Option<f64> {
        let straight = self.positions.get(position.index())?;
        let value = straight.offset + straight.factor * part;
        (straight.low..=straight.high).contains(&value).then_some(value)
    }

    fn factor(&self) -> Option<f64> {
        let first = self.positions.first()?.factor;
        let same = |straight: &Straight| straight.is_free() && straight.factor.to_bits() == first.to_bits();
        self.positions.iter().all(same).then_some(first)
    }
}
