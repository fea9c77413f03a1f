//! Limits with their guard bands.
//!
//! A limit is held when the value stays inside it by the guard band `t(1 − risk, ν)·u` on each
//! side (JCGM 106:2012, ISO 14253-1:2017): the uncertainty counts against the builder. A value on
//! the limit counts as inside.

mod factor;
mod gather;

pub use factor::Factor;
pub use gather::gather;

use crate::fit::Doubt;
use crate::job::{Bounding, FitName};
use crate::plan::LimitKind;

/// One bound on one fit, for every position it applies to.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// The fit.
    pub fit: FitName,
    /// Which bound.
    pub kind: LimitKind,
    /// The bound in ticks for every position; a spread has a single one in front.
    pub bounds: Vec<Option<i64>>,
    /// It comes from a column of the positions file.
    pub by_position: bool,
    /// Whether the uncertainty counts.
    pub guard: bool,
}

impl Limit {
    /// The bound at `position`, in ticks.
    #[must_use]
    pub fn bound(&self, position: usize) -> Option<i64> {
        match self.kind {
            LimitKind::Spread | LimitKind::Neighbours => self.bounds.first().copied().flatten(),
            LimitKind::Side(_) => self.bounds.get(position).copied().flatten(),
        }
    }

    /// Distance from the value inward to the bound at `position`: negative beyond it. `None` where
    /// the limit bounds nothing at this position, or bounds a spread.
    #[must_use]
    pub fn margin(&self, position: usize, value: i64) -> Option<i64> {
        let bound = self.bound(position)?;
        match self.kind {
            LimitKind::Side(Bounding::Min) => Some(value - bound),
            LimitKind::Side(Bounding::Max) => Some(bound - value),
            LimitKind::Spread | LimitKind::Neighbours => None,
        }
    }

    /// [`Limit::margin`] of a true value that is no whole number of ticks.
    #[must_use]
    pub fn true_margin(&self, position: usize, value: f64) -> Option<f64> {
        let bound = self.bound(position)? as f64;
        match self.kind {
            LimitKind::Side(Bounding::Min) => Some(value - bound),
            LimitKind::Side(Bounding::Max) => Some(bound - value),
            LimitKind::Spread | LimitKind::Neighbours => None,
        }
    }

    /// The guard band for a value known as well as `doubt` says, in ticks.
    #[must_use]
    pub fn band(&self, doubt: Doubt, factor: &Factor) -> f64 {
        if self.guard { band(doubt, factor) } else { 0.0 }
    }

    /// How far, in whole ticks, the bound would have to move outward for `value` at `position` to hold it with the
    /// guard band of `doubt`: 0 where it holds. Without a doubt the value counts as it is.
    #[must_use]
    pub fn shortfall(&self, position: usize, value: i64, doubt: Option<Doubt>, factor: &Factor) -> i64 {
        let Some(margin) = self.margin(position, value) else { return 0 };
        let band = doubt.map_or(0.0, |doubt| band(doubt, factor));
        // The least whole number of ticks that makes `margin + ticks >= band`.
        #[expect(clippy::cast_possible_truncation, reason = "bands are below a metre: far inside i64")]
        let needed = band.ceil() as i64 - margin;
        needed.max(0)
    }
}

/// The guard band `t(1 − risk, ν)·u` in ticks.
#[must_use]
pub fn band(doubt: Doubt, factor: &Factor) -> f64 {
    factor.at(doubt.dof) * doubt.u
}
