//! How far one reading scatters, and how well that is known.

use super::cells::Cells;
use super::components::Components;
use super::fit::{solve, weights};
use super::rounding::{Scatter, Step};
use super::{Gauge, ReduceError};
use crate::statistics::{Dof, f_upper_tail};

/// Degrees of freedom that a stated repeatability counts for.
pub(super) const STATED_DOF: usize = 10;
/// A variance below this, a millionth of a nanometre squared, is the arithmetic of equal readings.
const NOTHING: f64 = 1e-12;

/// Where the repeatability comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// Repeats and redundant readings only.
    Residuals,
    /// The stated figure only: no reading checks another.
    Stated,
    /// The stated figure as 10 degrees of freedom, together with repeats and redundant readings.
    Pooled,
    /// Neither: intervals rest on the gauge's step alone and are too narrow if the gauge scatters by more.
    ResolutionOnly,
    /// Neither, and no step: the uncertainties are all 0, which means nothing is known, not that all is certain.
    Nothing,
}

/// Whether parts and positions simply add up, tested against what repeats scatter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LackOfFit {
    /// Mean square of the cells about the fitted sums over the mean square of the repeats.
    pub f: f64,
    /// Degrees of freedom of the cells: how many of them are redundant.
    pub dof: Dof,
    /// Degrees of freedom of the repeats, the stated repeatability included where there is one.
    pub reference: Dof,
    /// The chance of an F as large where parts and positions do add up.
    pub p: f64,
}

/// The scatter of one reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Repeatability {
    /// Standard deviation in nm: `s² = (ν₀ s₀² + ν s_r²) / (ν₀ + ν)` of the stated s₀ (ν₀ = 10) and that of the residuals.
    pub s: f64,
    /// Standard deviation in nm of one reading as read, the gauge's step included: what the intervals are built on.
    ///
    /// It is the same pooling with the stated figure, which is the gauge's own, brought to what repeats rounded to the step would show.
    pub as_read: f64,
    /// Degrees of freedom of both; infinite where nothing was estimated.
    pub dof: Dof,
    /// Where it comes from.
    pub source: Source,
    /// Standard deviation of the residuals alone, `s_r`, with its degrees of freedom.
    pub residual: Option<(f64, Dof)>,
    /// The test of the model, where repeats or a stated figure, and redundant cells, allow one.
    pub lack_of_fit: Option<LackOfFit>,
}

/// Everything the estimate needs to look at.
struct Evidence<'a> {
    cells: &'a Cells,
    components: &'a Components,
    step: Step,
    /// Sum of squares and degrees of freedom of repeats.
    pure: (f64, usize),
    /// Degrees of freedom of the cells' misfit.
    redundancy: usize,
}

/// Estimates the scatter from the readings and what is stated.
pub(super) fn estimate(
    cells: &Cells,
    components: &Components,
    gauge: &Gauge,
) -> Result<(Repeatability, Scatter), ReduceError> {
    let evidence = Evidence {
        cells,
        components,
        step: Step::of(gauge.resolution),
        pure: cells.pure_error(),
        redundancy: components.redundancy(),
    };
    let residual = evidence.residual_variance()?;
    let stated = gauge.repeatability.map(|s0| s0 * s0);
    let stated_as_read = stated.map(|own| evidence.step.as_read(own));
    let dof = evidence.pure.1 + evidence.redundancy;
    let (s2, dof_all) = pool(residual, dof, stated);
    let (as_read, _) = pool(residual, dof, stated_as_read);
    let source = match (residual, stated) {
        (Some(_), Some(_)) => Source::Pooled,
        (Some(_), None) => Source::Residuals,
        (None, Some(_)) => Source::Stated,
        (None, None) if gauge.resolution.is_some() => Source::ResolutionOnly,
        (None, None) => Source::Nothing,
    };
    let repeatability = Repeatability {
        s: s2.sqrt(),
        as_read: as_read.sqrt(),
        dof: dof_all,
        source,
        residual: residual.zip(Dof::of_count(dof)).map(|(v, dof)| (v.sqrt(), dof)),
        lack_of_fit: evidence.lack_of_fit(stated_as_read)?,
    };
    Ok((repeatability, evidence.step.scatter(as_read)))
}

/// Pools the variance of the residuals with a stated one.
fn pool(residual: Option<f64>, dof: usize, stated: Option<f64>) -> (f64, Dof) {
    let stated_dof = if stated.is_some() { STATED_DOF } else { 0 };
    let all = dof + stated_dof;
    let Some(pooled) = Dof::of_count(all) else {
        return (0.0, Dof::INFINITE);
    };
    let squares = dof as f64 * residual.unwrap_or(0.0) + stated_dof as f64 * stated.unwrap_or(0.0);
    (squares / all as f64, pooled)
}

impl Evidence<'_> {
    /// Weighted misfit of the cells where repeats as read have this variance.
    fn misfit(&self, scatter: &Scatter) -> Result<f64, ReduceError> {
        let weight = weights(self.cells, scatter);
        let solution = solve(self.cells, self.components, &weight)?;
        Ok(solution.misfit(self.cells, &weight))
    }

    /// The variance s² of repeats as read at which the repeats and the cells' misfit together are as large as their degrees of freedom
    /// ask: `SS_repeats / s² + Σ r²/v(s²) = ν`. Without a step it is the pooled mean square; with one, what the step explains of the misfit
    /// is not counted a second time as scatter.
    fn residual_variance(&self) -> Result<Option<f64>, ReduceError> {
        let (squares, pure_dof) = self.pure;
        let dof = (pure_dof + self.redundancy) as f64;
        if dof <= 0.0 {
            return Ok(None);
        }
        let low = squares / dof;
        if self.redundancy == 0 {
            return Ok(Some(significant(low)));
        }
        let unit = Scatter { as_read: 1.0, shared: 0.0, floor: 0.0 };
        let high = significant((squares + self.misfit(&unit)?) / dof);
        if self.step.floor() <= 0.0 || high <= 0.0 {
            return Ok(Some(high));
        }
        let excess = |variance: f64| -> Result<f64, ReduceError> {
            let repeats = if squares > 0.0 { squares / variance } else { 0.0 };
            Ok(repeats + self.misfit(&self.step.scatter(variance))? - dof)
        };
        falling_root(low, high, excess).map(|root| Some(significant(root)))
    }

    /// F of the cells' misfit against the repeats, pooled with the stated variance where there is one.
    fn lack_of_fit(&self, stated_as_read: Option<f64>) -> Result<Option<LackOfFit>, ReduceError> {
        let (squares, pure_dof) = self.pure;
        let pure = (pure_dof > 0).then(|| squares / pure_dof as f64);
        let (reference, reference_dof) = pool(pure, pure_dof, stated_as_read);
        let scatter = self.step.scatter(significant(reference));
        let Some(dof) = Dof::of_count(self.redundancy) else {
            return Ok(None);
        };
        if scatter.is_unknown() || (pure.is_none() && stated_as_read.is_none()) {
            return Ok(None);
        }
        let f = self.misfit(&scatter)? / dof.value();
        Ok(Some(LackOfFit { f, dof, reference: reference_dof, p: f_upper_tail(f, dof, reference_dof) }))
    }
}

fn significant(variance: f64) -> f64 {
    if variance < NOTHING { 0.0 } else { variance }
}

/// The root of a falling function between `low`, where it is not below 0 unless there is no root, and `high`, where it is not above.
///
/// Regula falsi with the Illinois correction: some ten evaluations.
fn falling_root<E>(mut low: f64, mut high: f64, function: impl Fn(f64) -> Result<f64, E>) -> Result<f64, E> {
    let mut at_low = function(low)?;
    if at_low <= 0.0 {
        return Ok(low);
    }
    let mut at_high = function(high)?;
    if at_high >= 0.0 {
        return Ok(high);
    }
    let mut kept_low = 0;
    for _ in 0..60 {
        if high - low <= 1e-10 * high {
            break;
        }
        let middle = (low * at_high - high * at_low) / (at_high - at_low);
        let value = function(middle)?;
        if value > 0.0 {
            (low, at_low) = (middle, value);
            if kept_low < 0 {
                at_high *= 0.5;
            }
            kept_low = -1;
        } else if value < 0.0 {
            (high, at_high) = (middle, value);
            if kept_low > 0 {
                at_low *= 0.5;
            }
            kept_low = 1;
        } else {
            return Ok(middle);
        }
    }
    Ok(0.5 * (low + high))
}
