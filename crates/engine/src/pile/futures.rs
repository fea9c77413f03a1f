//! Rows of further parts, as the stock leaves them open.

use std::collections::BTreeMap;

use super::population::Population;
use crate::statistics::{NormalDraws, Stream, Summary, normal_cdf};

/// The streams of the futures begin here, one a future.
const FIRST_STREAM: u64 = 1 << 32;

/// Up to so many degrees of freedom chi-squared is drawn as a sum of squares.
const SUMMED: usize = 200;

/// One future: parts without end, of one distribution that the stock leaves possible.
#[derive(Debug)]
pub(super) struct Future<'p> {
    draws: NormalDraws,
    source: Source<'p>,
}

#[derive(Debug)]
enum Source<'p> {
    Normal(Normal),
    /// The stock drawn again with replacement, as far as it was asked for: what the same maker's next stock might have been.
    Smoothed {
        population: &'p Population,
        redrawn: BTreeMap<usize, f64>,
    },
}

/// A normal distribution that the stock leaves possible.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Normal {
    pub(super) mean: f64,
    pub(super) deviation: f64,
}

impl<'p> Future<'p> {
    /// The future with this number.
    pub(super) fn new(population: &'p Population, seed: u64, number: u64) -> Self {
        let mut draws = NormalDraws::new(seed, Stream::new(FIRST_STREAM.wrapping_add(number)));
        let source = match population.kernel() {
            None => Source::Normal(Normal::drawn(population.summary(), &mut draws)),
            Some(_) => Source::Smoothed { population, redrawn: BTreeMap::new() },
        };
        Self { draws, source }
    }

    /// The normal distribution of this future, where it has one.
    pub(super) fn normal(&self) -> Option<Normal> {
        match self.source {
            Source::Normal(normal) => Some(normal),
            Source::Smoothed { .. } => None,
        }
    }

    /// The first `count` parts.
    pub(super) fn parts(mut self, count: usize) -> Vec<f64> {
        (0..count).map(|_| self.next_part()).collect()
    }

    fn next_part(&mut self) -> f64 {
        let z = self.draws.next_draw();
        match &mut self.source {
            Source::Normal(normal) => normal.mean + normal.deviation * z,
            Source::Smoothed { population, redrawn } => {
                let Some(kernel) = population.kernel() else { return population.summary().mean };
                let centres = kernel.centres();
                let place = pick(&mut self.draws, centres.len());
                let again = pick(&mut self.draws, centres.len());
                let centre = *redrawn.entry(place).or_insert(centres[again]);
                kernel.near(centre, z)
            }
        }
    }
}

impl Normal {
    /// Mean and standard deviation as n values leave them open: with ν = n − 1, `σ² = ν s²/χ²_ν` and `μ = x̄ + z·σ/√n`, so that μ by itself
    /// follows Student's t.
    ///
    /// # References
    /// Gelman et al., Bayesian Data Analysis, 3rd ed., section 3.2 (no prior knowledge of either; citation from memory).
    fn drawn(summary: &Summary, draws: &mut NormalDraws) -> Self {
        let deviation = (summary.sum_squares / chi_squared(summary.dof(), draws)).sqrt();
        let mean = summary.mean + draws.next_draw() * deviation / (summary.count as f64).sqrt();
        Self { mean, deviation }
    }
}

/// A draw of chi-squared: the sum of squares, or beyond 200 degrees of freedom `ν(1 − 2/(9ν) + z√(2/(9ν)))³`.
///
/// # References
/// Wilson and Hilferty, Proc. Natl. Acad. Sci. 17 (1931) 684-688 (citation from memory).
fn chi_squared(dof: usize, draws: &mut NormalDraws) -> f64 {
    if dof <= SUMMED {
        let square = |z: f64| z * z;
        return (0..dof).map(|_| square(draws.next_draw())).sum();
    }
    let part = 2.0 / (9.0 * dof as f64);
    dof as f64 * (1.0 - part + draws.next_draw() * part.sqrt()).powi(3)
}

/// One of `count` places, all as likely.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a share of the count: not below 0, not above it"
)]
fn pick(draws: &mut NormalDraws, count: usize) -> usize {
    let share = normal_cdf(draws.next_draw());
    ((share * count as f64) as usize).min(count.saturating_sub(1))
}
