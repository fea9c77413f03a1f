//! What parts of a kind are like, as far as the measured ones tell.

use super::joint::Stock;
use super::kernel::Kernel;
use super::normality::{Normality, shapiro_francia};
use super::{Numbers, PileError};
use crate::statistics::Summary;

/// With so few parts more than numbers of a part the scatter of further ones has no variance yet.
const FEWEST_BEYOND: usize = 3;

/// A stock whose W′ has a smaller chance than this is visibly not normal.
const LEVEL: f64 = 0.01;

/// The distribution that further parts are drawn from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Model {
    /// A normal distribution, its mean and scatter as doubtful as the stock leaves them.
    Normal,
    /// The measured parts, each smoothed by a normal curve: a smoothed bootstrap.
    Smoothed,
}

/// Why a model was taken.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Judged {
    /// Too few parts for a test: taken to be normal.
    TooFewToTell,
    /// The test does not speak against a normal distribution; of several numbers the one that looks least like it.
    Normal(Normality),
    /// A number as far from a normal distribution as this comes from one less than once in a hundred stocks.
    NotNormal {
        /// Which of a part's numbers.
        number: usize,
        /// What the test says.
        found: Normality,
    },
}

/// One number of the parts of a stock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scatter {
    /// Mean of the measured values.
    pub mean: f64,
    /// Their standard deviation.
    pub deviation: f64,
    /// Standard deviation of the curve around each part, where the model is smoothed; else 0.
    pub bandwidth: f64,
}

/// What the measured parts tell of others.
#[derive(Clone, Debug)]
pub struct Population {
    summaries: Vec<Summary>,
    judged: Judged,
    pub(super) source: Source,
}

#[derive(Clone, Debug)]
pub(super) enum Source {
    Normal(Stock),
    Smoothed(Kernel),
}

impl Population {
    /// Looks at the measured values of a stock.
    ///
    /// Normal unless [`shapiro_francia`] gives a chance below 0.01, shared evenly by the numbers of a part, for one of them. O(n log n).
    ///
    /// # Errors
    /// [`PileError`] for fewer than 3 parts more than a part has numbers, for a value that is no number, and for parts whose first numbers
    /// are all the same.
    pub fn of(parts: &Numbers) -> Result<Self, PileError> {
        if let Some((part, value)) = parts.broken() {
            return Err(PileError::NoNumber { part, value });
        }
        let (count, width) = (parts.len(), parts.width());
        let fewest = FEWEST_BEYOND + width;
        if width == 0 || count < fewest {
            return Err(PileError::TooFewParts { parts: count, fewest });
        }
        let columns: Vec<Vec<f64>> = (0..width).map(|number| parts.column(number)).collect();
        let summaries: Vec<Summary> = columns.iter().map(|column| Summary::of(column)).collect();
        if summaries.iter().any(|summary| !summary.sum_squares.is_finite()) {
            return Err(PileError::NoNumber { part: 0, value: parts.part(0)[0] });
        }
        if summaries[0].sum_squares <= 0.0 {
            return Err(PileError::AllAlike { parts: count });
        }
        let judged = judge(&columns);
        let source = match judged {
            Judged::NotNormal { .. } => Source::Smoothed(Kernel::new(parts, &columns, &summaries)),
            _ => Source::Normal(Stock::new(parts, &summaries)),
        };
        Ok(Self { summaries, judged, source })
    }

    /// The model taken.
    pub fn model(&self) -> Model {
        match self.source {
            Source::Normal(_) => Model::Normal,
            Source::Smoothed(_) => Model::Smoothed,
        }
    }

    /// Why it was taken.
    pub fn judged(&self) -> Judged {
        self.judged
    }

    /// Each number of the parts.
    pub fn scatters(&self) -> Vec<Scatter> {
        let bandwidth = |number: usize| match &self.source {
            Source::Normal(_) => 0.0,
            Source::Smoothed(kernel) => kernel.bandwidth(number),
        };
        let scatter = |(number, summary): (usize, &Summary)| Scatter {
            mean: summary.mean,
            deviation: summary.standard_deviation().unwrap_or(0.0),
            bandwidth: bandwidth(number),
        };
        self.summaries.iter().enumerate().map(scatter).collect()
    }
}

/// The number that looks least normal decides.
fn judge(columns: &[Vec<f64>]) -> Judged {
    let tested = columns.iter().enumerate().filter_map(|(number, column)| Some((number, shapiro_francia(column)?)));
    let worst = tested.min_by(|(_, one), (_, other)| one.p.total_cmp(&other.p));
    match worst {
        None => Judged::TooFewToTell,
        Some((number, found)) if found.p * (columns.len() as f64) < LEVEL => Judged::NotNormal { number, found },
        Some((_, found)) => Judged::Normal(found),
    }
}
