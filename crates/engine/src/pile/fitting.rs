//! What a position makes of a part that is known by its numbers.

use super::{Couples, Together};
use crate::readings::{PartId, PositionId};

/// A fit, and the limits beside it, as functions of a part's numbers: its effect, its mass, its diameter, its ratio.
pub trait Fitting {
    /// How many positions there are.
    fn positions(&self) -> usize;

    /// The value of the fit, in ticks, where a part with these numbers stands there; `None` where it may not: outside
    /// a limit, or beyond what can be predicted.
    fn value(&self, position: PositionId, part: &[f64]) -> Option<f64>;

    /// The same for a part of the stock, by its place in it, where more is known of it than its numbers.
    fn value_in_stock(&self, position: PositionId, part: PartId, numbers: &[f64]) -> Option<f64> {
        let _ = part;
        self.value(position, numbers)
    }

    /// The factor of the part's first number where it is the same everywhere and nothing is ruled out or limited:
    /// `value = what the position brings + factor · number`. A total then has an exact expectation.
    fn factor(&self) -> Option<f64> {
        None
    }

    /// The widest spread, in ticks, that each of further quantities may have over the positions.
    fn widths(&self) -> &[i64] {
        &[]
    }

    /// The greatest difference, in ticks, between neighbours, of each of the quantities that come after those of
    /// [`Self::widths`].
    fn apart(&self) -> &[i64] {
        &[]
    }

    /// Positions that are neighbours.
    fn neighbours(&self) -> &[(PositionId, PositionId)] {
        &[]
    }

    /// Where positions take several parts of the pile each: what bundles are worth, instead of all that is said of single parts.
    fn together(&self) -> Option<&Together> {
        None
    }

    /// Where positions take a part of another kind too: what couples are worth, instead of all that is said of single parts.
    fn couples(&self) -> Option<&Couples> {
        None
    }

    /// How many totals count before the aim, the less of each the better: money, pieces, moves.
    fn before(&self) -> usize {
        0
    }

    /// What a part adds to the total at this place where it stands there; `None` is any further part.
    fn adds(&self, criterion: usize, position: PositionId, part: Option<PartId>) -> i64 {
        let _ = (criterion, position, part);
        0
    }

    /// The greatest total of [`Self::price`].
    fn spend(&self) -> Option<i64> {
        None
    }

    /// What a part costs where it is used; `None` is any further part.
    fn price(&self, part: Option<PartId>) -> i64 {
        let _ = part;
        0
    }

    /// The value, in ticks, of the further quantity with this index: those of the widths, then those of neighbours.
    fn beside(&self, width: usize, position: PositionId, part: &[f64]) -> Option<f64> {
        let _ = (width, position, part);
        None
    }

    /// The same for a part of the stock.
    fn beside_in_stock(&self, width: usize, position: PositionId, part: PartId, numbers: &[f64]) -> Option<f64> {
        let _ = part;
        self.beside(width, position, numbers)
    }
}

/// `value = offset + factor · number`, within limits: a straight line a position.
///
/// Deck clearance has the factor 1 and the cylinder's effect as offset, skirt clearance −1 and the bore, lift the lobe's lift as factor and the
/// lash, taken away, as offset.
///
/// # Examples
/// ```
/// use pairwright_engine::pile::{Fitting, Line};
/// use pairwright_engine::readings::PositionId;
///
/// let deck = Line::adding([0.0, -2_000.0]);
/// assert_eq!(deck.value(PositionId::new(1), &[5_000.0]), Some(3_000.0));
/// assert_eq!(deck.factor(), Some(1.0));
/// assert_eq!(deck.within(None, Some(4_000.0)).value(PositionId::new(0), &[5_000.0]), None);
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

impl Fitting for Line {
    fn positions(&self) -> usize {
        self.positions.len()
    }

    fn value(&self, position: PositionId, part: &[f64]) -> Option<f64> {
        let straight = self.positions.get(position.index())?;
        let value = straight.offset + straight.factor * part.first()?;
        (straight.low..=straight.high).contains(&value).then_some(value)
    }

    fn factor(&self) -> Option<f64> {
        let first = self.positions.first()?.factor;
        let same = |straight: &Straight| straight.is_free() && straight.factor.to_bits() == first.to_bits();
        self.positions.iter().all(same).then_some(first)
    }
}
