//! What parts of a kind are like, as far as the measured ones tell.

use super::PileError;
use super::kernel::Kernel;
use super::normality::{Normality, shapiro_francia};
use crate::statistics::Summary;

/// With so few parts the scatter of what further ones are like has no variance yet.
const FEWEST: usize = 4;

/// A stock whose W′ has a smaller chance than this is visibly not normal.
const LEVEL: f64 = 0.01;

/// The distribution that further parts are drawn from.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Model {
    /// A normal distribution, its mean and standard deviation as doubtful as the stock leaves them.
    Normal {
        /// Mean of the measured values.
        mean: f64,
        /// Their standard deviation.
        deviation: f64,
    },
    /// The measured parts, each smoothed by a normal curve: a smoothed bootstrap.
    Smoothed {
        /// Mean of the measured values.
        mean: f64,
        /// Their standard deviation.
        deviation: f64,
        /// Standard deviation of the curve around each part, by Silverman's rule.
        bandwidth: f64,
    },
}

/// Why a model was taken.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Judged {
    /// Too few parts for a test: taken to be normal.
    TooFewToTell,
    /// The test does not speak against a normal distribution.
    Normal(Normality),
    /// Values as far from a normal distribution as these come from one less than once in a hundred.
    NotNormal(Normality),
}

/// What the measured parts tell of others.
#[derive(Clone, Debug)]
pub struct Population {
    summary: Summary,
    deviation: f64,
    judged: Judged,
    kernel: Option<Kernel>,
}

impl Population {
    /// Looks at the measured values of a stock.
    ///
    /// Normal unless [`shapiro_francia`] gives a chance below 0.01. O(n log n).
    ///
    /// # Errors
    /// [`PileError`] for fewer than 4 parts, for a value that is no number, and for parts that all measure the same.
    pub fn of(values: &[f64]) -> Result<Self, PileError> {
        if let Some((part, &value)) = values.iter().enumerate().find(|(_, value)| !value.is_finite()) {
            return Err(PileError::NoNumber { part, value });
        }
        let parts = values.len();
        if parts < FEWEST {
            return Err(PileError::TooFewParts { parts, fewest: FEWEST });
        }
        let summary = Summary::of(values);
        let deviation = summary.standard_deviation().unwrap_or(0.0);
        if deviation <= 0.0 || !deviation.is_finite() {
            return Err(PileError::AllAlike { parts });
        }
        let judged = match shapiro_francia(values) {
            None => Judged::TooFewToTell,
            Some(found) if found.p < LEVEL => Judged::NotNormal(found),
            Some(found) => Judged::Normal(found),
        };
        let kernel = matches!(judged, Judged::NotNormal(_)).then(|| Kernel::new(values, &summary));
        Ok(Self { summary, deviation, judged, kernel })
    }

    /// The model taken.
    pub fn model(&self) -> Model {
        let (mean, deviation) = (self.summary.mean, self.deviation);
        match &self.kernel {
            None => Model::Normal { mean, deviation },
            Some(kernel) => Model::Smoothed { mean, deviation, bandwidth: kernel.bandwidth() },
        }
    }

    /// Why it was taken.
    pub fn judged(&self) -> Judged {
        self.judged
    }

    pub(super) fn kernel(&self) -> Option<&Kernel> {
        self.kernel.as_ref()
    }

    pub(super) fn summary(&self) -> &Summary {
        &self.summary
    }
}
