//! What the statistics found, in the job's terms.

use super::{ReadingsReport, Repeatability, ScatterSource};
use crate::readings::{Effects, Reading, Source};

impl ReadingsReport {
    /// Describes reduced readings; `from_decimals` says that the gauge's step was taken from the
    /// typed decimals.
    pub(super) fn new(effects: &Effects, readings: &[Reading], resolution: Option<f64>, from_decimals: bool) -> Self {
        let known = effects.repeatability();
        Self {
            readings: readings.len(),
            used: readings.iter().filter(|reading| !reading.left_out).count(),
            repeatability: Repeatability { s: known.s, dof: known.dof.value(), source: source(known.source) },
            resolution: resolution.unwrap_or(0.0),
            resolution_from_decimals: from_decimals,
            findings: Vec::new(),
        }
    }
}

fn source(source: Source) -> ScatterSource {
    match source {
        Source::Residuals => ScatterSource::Residuals,
        Source::Stated => ScatterSource::Stated,
        Source::Pooled => ScatterSource::Pooled,
        // The typed decimals always give a step, so nothing at all does not happen here.
        Source::ResolutionOnly | Source::Nothing => ScatterSource::ResolutionOnly,
    }
}
