//! Seeded joint normal draws, the same on every machine.

use super::{Risk, normal_upper_quantile};
use nalgebra::DMatrix;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// A separate sequence of draws for each purpose, so that asking one question more does not change the answer to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Stream(u64);

impl Stream {
    /// The stream with this number.
    pub const fn new(number: u64) -> Self {
        Self(number)
    }
}

/// Independent standard normal draws: `ChaCha8`, its 64-bit words to 53-bit uniforms, those through the inverse normal distribution.
///
/// Only the words of the generator are taken from its crate: what is made of them stands here, so that no release of a random number
/// library changes a result.
#[derive(Clone, Debug)]
pub struct NormalDraws(ChaCha8Rng);

impl NormalDraws {
    /// Starts the stream of a seed.
    pub fn new(seed: u64, stream: Stream) -> Self {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&seed.to_le_bytes());
        let mut words = ChaCha8Rng::from_seed(key);
        words.set_stream(stream.0);
        Self(words)
    }

    /// The next draw, finite always.
    pub fn next_draw(&mut self) -> f64 {
        loop {
            let uniform = (self.0.next_u64() >> 11) as f64 / (1_u64 << 53) as f64;
            // 0, one word in 2^53, has no finite quantile: the next word takes its place.
            if let Some(risk) = Risk::new(uniform) {
                return -normal_upper_quantile(risk);
            }
        }
    }
}

/// `count` draws from the joint normal distribution with mean 0 and this covariance: one draw a column, one variable a row.
///
/// A semidefinite matrix (variables that move together, or do not move at all) is in order: the factor is a pivoted Cholesky that stops
/// at the rank. A matrix that is not a covariance is read as its leading semidefinite part; of one that is not square, the square that
/// both sides cover. O(n² · rank) once, O(n · rank) a draw.
///
/// # References
/// Higham, Accuracy and Stability of Numerical Algorithms, 2nd ed., SIAM 2002, section 10.3 (pivoted Cholesky; citation from memory).
pub fn joint_normal(covariance: &DMatrix<f64>, count: usize, seed: u64, stream: Stream) -> DMatrix<f64> {
    let factor = semidefinite_factor(covariance);
    let mut draws = NormalDraws::new(seed, stream);
    let mut out = DMatrix::zeros(factor.nrows(), count);
    for mut column in out.column_iter_mut() {
        for part in factor.column_iter() {
            column.axpy(draws.next_draw(), &part, 1.0);
        }
    }
    out
}

/// L with `L Lᵀ = covariance`, as many columns as the rank.
fn semidefinite_factor(covariance: &DMatrix<f64>) -> DMatrix<f64> {
    let n = covariance.nrows().min(covariance.ncols());
    let mut left = covariance.view((0, 0), (n, n)).into_owned();
    let largest = (0..n).map(|i| left[(i, i)]).fold(0.0, f64::max);
    let mut factor = DMatrix::zeros(n, n);
    for rank in 0..n {
        let Some(pivot) = (0..n).reduce(|a, b| if left[(b, b)] > left[(a, a)] { b } else { a }) else {
            break;
        };
        // Below this the rest is the rounding of what was taken away.
        if left[(pivot, pivot)] <= largest * 1e-13 * n as f64 {
            return factor.columns(0, rank).into_owned();
        }
        let column = left.column(pivot) / left[(pivot, pivot)].sqrt();
        // Not a matrix product: those pick their kernel, and with it their rounding, by the processor.
        left.ger(-1.0, &column, &column, 1.0);
        factor.set_column(rank, &column);
    }
    factor
}

#[cfg(test)]
mod tests {
    use super::{NormalDraws, Stream, joint_normal, semidefinite_factor};
    use nalgebra::DMatrix;

    #[test]
    fn the_factor_reproduces_a_semidefinite_matrix() {
        let half = DMatrix::from_row_slice(4, 2, &[1.0, 2.0, -3.0, 0.5, 2.0, 2.0, 0.0, 0.0]);
        let covariance: DMatrix<f64> = &half * half.transpose();
        let factor = semidefinite_factor(&covariance);
        assert_eq!(factor.ncols(), 2);
        assert!((&factor * factor.transpose() - covariance).amax() < 1e-12);
        assert_eq!(semidefinite_factor(&DMatrix::zeros(3, 3)).ncols(), 0);
    }

    #[test]
    fn draws_have_the_covariance_asked_for() {
        let covariance = DMatrix::from_row_slice(3, 3, &[4.0, 1.0, 0.0, 1.0, 2.0, 0.0, 0.0, 0.0, 0.0]);
        let n = 40_000;
        let draws = joint_normal(&covariance, n, 7, Stream::new(1));
        let found = &draws * draws.transpose() / n as f64;
        assert!((found - &covariance).amax() < 0.1);
        assert_eq!(draws, joint_normal(&covariance, n, 7, Stream::new(1)));
    }

    /// What these draws are may never change: printed seeds stand for printed numbers.
    #[test]
    fn the_first_draws_stay_as_they_are() {
        let mut draws = NormalDraws::new(1, Stream::new(1));
        let first: Vec<f64> = (0..4).map(|_| draws.next_draw()).collect();
        let golden =
            [-1.261_673_552_731_373, 0.907_737_865_260_870_4, 0.353_490_302_474_389_56, -0.446_796_300_371_276];
        for (draw, golden) in first.iter().zip(golden) {
            assert!((draw - golden).abs() < 1e-12, "{first:?}");
        }
    }

    #[test]
    fn seeds_and_streams_are_apart() {
        let first = |seed, stream| NormalDraws::new(seed, Stream::new(stream)).next_draw();
        assert_ne!(first(1, 1).to_bits(), first(2, 1).to_bits());
        assert_ne!(first(1, 1).to_bits(), first(1, 2).to_bits());
    }
}
