//! Each reading against what all the others say.
//!
//! Repeats of a spot have the covariance `s² I + (v_n - s²/n) 1 1ᵀ`, so that their mean has the variance `v_n` used in the fit. For a reading
//! y of a spot with n repeats, mean m, in a cell with S spots, variance v, misfit ρ and leverage L, the generalised residual and its variance
//! are
//!
//! ```text
//! g = (y - m)/s² + ρ/(n S v),    q = (1 - 1/n)/s² + (1 - L)/(n S)²/v
//! ```
//!
//! and y lies `g/q` from what the others say, with the variance 1/q. Without a step this is the textbook's deleted residual
//! `(y - ŷ)/(1 - leverage)`. With one, s² is taken no smaller than the step's own q²/12: where the others agree to the step, one
//! step off is nothing odd.
//!
//! # References
//! Deleted and externally studentized residuals: Belsley, Kuh and Welsch, Regression Diagnostics, Wiley 1980, chapter 2; for correlated
//! errors: Haslett and Hayes, J. R. Statist. Soc. B 60 (1998) 201-215 (citations from memory; checked against leaving readings out).

use super::linear::Fit;
use super::rounding::Scatter;
use crate::statistics::{Dof, Risk, t_two_sided_tail, t_upper_quantile};

/// Leverage this close to 1 is 1: nothing else speaks to the cell.
const FREE: f64 = 1e-8;

/// A reading against the others.
#[derive(Clone, Copy, Debug)]
pub(super) struct Deleted {
    /// Place in the caller's list.
    pub(super) reading: usize,
    /// Place of its cell.
    pub(super) cell: usize,
    /// The reading less what the others say, in nm.
    pub(super) off: f64,
    /// That, squared, over its variance.
    pub(super) squared: f64,
}

/// All readings that others check, and those that none does.
#[derive(Clone, Debug, Default)]
pub(super) struct Crosscheck {
    pub(super) checked: Vec<Deleted>,
    pub(super) unchecked: Vec<usize>,
    /// The scatter as estimated, over that which the residuals are measured by.
    ratio: f64,
    /// The least scatter that may be left without a reading, over that which the residuals are measured by.
    least: f64,
}

impl Crosscheck {
    /// Compares every reading with the others. `value` gives a reading by its place in the caller's list.
    pub(super) fn of(fit: &Fit, scatter: &Scatter, value: impl Fn(usize) -> f64) -> Self {
        let variance = scatter.as_read.max(scatter.floor);
        let within = if variance > 0.0 { 1.0 / variance } else { 0.0 };
        let mut out = Self { ratio: scatter.as_read * within, least: scatter.floor * within, ..Self::default() };
        for (at, cell) in fit.cells.list.iter().enumerate() {
            let free = fit.freedom(at);
            let spots = cell.spots.len() as f64;
            let rho = fit.solution.misfit_of(&fit.cells, at);
            for repeats in fit.cells.spots(cell) {
                let n = repeats.count();
                let others = &fit.cells.order[repeats.range()];
                if n < 2.0 && free < FREE {
                    out.unchecked.extend_from_slice(others);
                    continue;
                }
                let weight = fit.weight[at];
                let misfit = if free < FREE { (0.0, 0.0) } else { (rho * weight / (n * spots), free * weight) };
                let precision = (1.0 - 1.0 / n) * within + misfit.1 / (n * spots).powi(2);
                for &reading in others {
                    let residual = (value(reading) - repeats.summary.mean) * within + misfit.0;
                    let (off, squared) = if precision > 0.0 {
                        (residual / precision, residual * residual / precision)
                    } else {
                        (0.0, 0.0)
                    };
                    out.checked.push(Deleted { reading, cell: at, off, squared });
                }
            }
        }
        out.unchecked.sort_unstable();
        out
    }
}

/// The test of the worst of several deleted residuals.
#[derive(Clone, Copy, Debug)]
pub(super) struct Verdict {
    /// Degrees of freedom of the scatter the residuals are measured by, less the reading under test.
    dof: Dof,
    count: usize,
    ratio: f64,
    least: f64,
}

impl Crosscheck {
    /// The test of all checked readings, measured by a scatter with `dof` degrees of freedom; `None` where removing a reading would leave
    /// the scatter without any.
    pub(super) fn verdict(&self, dof: Dof) -> Option<Verdict> {
        let dof = Dof::new(dof.value() - 1.0)?;
        Some(Verdict { dof, count: self.checked.len(), ratio: self.ratio, least: self.least })
    }
}

impl Verdict {
    /// The externally studentized residual: measured by the scatter that is left without the reading, `t² = T² (ν - 1)/(ν - T²)`.
    pub(super) fn t(&self, deleted: &Deleted) -> f64 {
        let left = self.ratio + (self.ratio - deleted.squared) / self.dof.value();
        let left = left.max(self.least);
        let size = if left <= 0.0 { f64::INFINITY } else { (deleted.squared / left).sqrt() };
        size.copysign(deleted.off)
    }

    /// The chance that the worst of the residuals is as large.
    pub(super) fn p(&self, t: f64) -> f64 {
        (self.count as f64 * t_two_sided_tail(t, self.dof)).min(1.0)
    }

    /// The size of t beyond which a reading is odd at this risk, shared over all residuals and both sides.
    pub(super) fn threshold(&self, risk: Risk) -> f64 {
        t_upper_quantile(risk.shared_by(2 * self.count), self.dof)
    }
}
