//! What the largest of so many normal values are expected to be.

use crate::statistics::{Risk, normal_cdf, normal_upper_quantile};

/// So many independent values of the standard normal distribution.
///
/// # Examples
/// ```
/// use pairwright_engine::pile::NormalSample;
/// let five = NormalSample::of(5);
/// assert!((five.largest(1)[0] - 1.162_964_473_6).abs() < 1e-9);
/// // All five together are expected to sum to nothing.
/// assert!(five.sum_of_largest(5).abs() < 1e-9);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NormalSample {
    count: usize,
}

/// Below this share of its peak a density adds nothing to 15 digits.
const NOTHING: f64 = -46.0;

impl NormalSample {
    /// A sample of `count` values.
    pub const fn of(count: usize) -> Self {
        Self { count }
    }

    /// The expected values of the `ranks` largest, the largest first, in standard deviations from the mean; no more than there are
    /// values. Good to 1e-10. O(ranks).
    ///
    /// The density of the r-th largest of n, `Φ(t)^(n−r) · (1−Φ(t))^(r−1) · φ(t)` but for a factor, is summed over even steps of a
    /// quarter of its width. For a density as smooth as that, which vanishes at both ends, even steps are as good as exact, and dividing by
    /// the sum of the weights does away with the factor.
    ///
    /// # References
    /// Harter, Biometrika 48 (1961) 151-165 (the table it is tested against). Sums over even steps: Trefethen and Weideman, SIAM Review 56
    /// (2014) 385-458 (citation from memory).
    pub fn largest(self, ranks: usize) -> Vec<f64> {
        (1..=ranks.min(self.count)).map(|rank| self.expected(rank)).collect()
    }

    /// The expected sum of the `ranks` largest, in standard deviations.
    pub fn sum_of_largest(self, ranks: usize) -> f64 {
        self.largest(ranks).iter().sum()
    }

    /// The expected value at this rank, 1 being the largest.
    fn expected(self, rank: usize) -> f64 {
        let centre = blom_score(self.count, rank);
        let step = 0.25 * self.width(rank, centre).min(1.0);
        let weight_at = |t: f64| self.log_density(rank, t);
        let origin = weight_at(centre);
        let (mut sum, mut weights, mut peak) = (0.0, 1.0, origin);
        for direction in [-step, step] {
            let mut offset = direction;
            loop {
                let log = weight_at(centre + offset);
                peak = peak.max(log);
                if log - peak < NOTHING {
                    break;
                }
                let weight = (log - origin).exp();
                sum += weight * offset;
                weights += weight;
                offset += direction;
            }
        }
        centre + sum / weights
    }

    /// Logarithm of the density but for a constant.
    fn log_density(self, rank: usize, t: f64) -> f64 {
        let above = (rank - 1) as f64;
        let below = (self.count - rank) as f64;
        let power = |times: f64, log: f64| if times > 0.0 { times * log } else { 0.0 };
        power(above, log_cdf(-t)) + power(below, log_cdf(t)) - 0.5 * t * t
    }

    /// Roughly the standard deviation of the value at this rank.
    fn width(self, rank: usize, centre: f64) -> f64 {
        let n = self.count as f64;
        let above = (rank as f64 - 0.375) / (n + 0.25);
        let density = (-0.5 * centre * centre).exp() / (2.0 * std::f64::consts::PI).sqrt();
        (above * (1.0 - above) / (n + 2.0)).sqrt() / density
    }
}

/// `ln Φ(t)`, accurate on both sides.
pub(super) fn log_cdf(t: f64) -> f64 {
    if t > 0.0 { (-normal_cdf(-t)).ln_1p() } else { normal_cdf(t).ln() }
}

/// Blom's approximation of the expected value at this rank, 1 being the largest: `Φ⁻¹(1 − (r − 3/8)/(n + 1/4))`.
///
/// # References
/// Blom, Statistical Estimates and Transformed Beta-Variables, Wiley 1958 (citation from memory).
pub(super) fn blom_score(count: usize, rank: usize) -> f64 {
    let above = (rank as f64 - 0.375) / (count as f64 + 0.25);
    Risk::new(above).map_or(0.0, normal_upper_quantile)
}

#[cfg(test)]
mod tests {
    use super::NormalSample;

    #[test]
    fn small_samples_have_closed_forms() {
        let pi = std::f64::consts::PI;
        assert!((NormalSample::of(2).largest(1)[0] - 1.0 / pi.sqrt()).abs() < 1e-10);
        assert!((NormalSample::of(3).largest(1)[0] - 1.5 / pi.sqrt()).abs() < 1e-10);
        assert!(NormalSample::of(1).largest(3)[0].abs() < 1e-12);
        assert_eq!(NormalSample::of(0).largest(3), [] as [f64; 0]);
    }

    #[test]
    fn ranks_mirror_each_other_and_sum_to_nothing() {
        for count in [2, 7, 40, 501] {
            let all = NormalSample::of(count).largest(count);
            assert!(all.windows(2).all(|two| two[0] > two[1]));
            assert!(all.iter().sum::<f64>().abs() < 1e-9 * count as f64);
            for (one, other) in all.iter().zip(all.iter().rev()) {
                assert!((one + other).abs() < 1e-10, "{count}: {one} {other}");
            }
        }
    }

    /// `r·E(r+1 of n) + (n−r)·E(r of n) = n·E(r of n−1)`, for any distribution.
    #[test]
    fn neighbouring_sample_sizes_are_tied_by_the_recurrence() {
        for count in [3_usize, 10, 57, 1000, 100_000] {
            let (this, less) = (NormalSample::of(count), NormalSample::of(count - 1));
            for rank in [1, 2, count / 2, count - 1] {
                let r = rank as f64;
                let n = count as f64;
                let left = r * this.expected(rank + 1) + (n - r) * this.expected(rank);
                let right = n * less.expected(rank);
                assert!((left - right).abs() < 1e-9 * n, "{count} {rank}: {left} {right}");
            }
        }
    }
}
