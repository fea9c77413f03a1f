//! Whether measured values look as if they came from a normal distribution.

use super::order_statistics::blom_score;
use crate::statistics::{Summary, normal_cdf};

/// What the test of Shapiro and Francia says about a set of values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Normality {
    /// W′, the squared correlation of the sorted values with normal scores: 1 for a perfect line.
    pub statistic: f64,
    /// The chance of a W′ this small, or smaller, from a normal distribution.
    pub p: f64,
    /// How many values were looked at.
    pub looked_at: usize,
}

/// With fewer values the test says nothing.
pub(super) const FEWEST: usize = 5;
/// The test was fitted for up to so many.
const MOST: usize = 5_000;

/// The test of Shapiro and Francia (a correlation on normal probability paper); `None` below 5 values and for values that are all alike.
///
/// W′ = r² between the sorted values and Blom's normal scores. With u = ln n and v = ln u, ln(1 − W′) is about normal with mean −1.2725 +
/// 1.0521(v − u) and standard deviation 1.0308 − 0.26758(v + 2/u), fitted for 5 to 5,000 values. Equal values (a gauge's step) share the
/// mean of their scores, so that a step of up to half the stock's scatter hardly makes it look odd by itself. Of more than 5,000 values an even selection in the
/// order given is looked at. O(n log n).
///
/// # References
/// Shapiro and Francia, J. Am. Stat. Assoc. 67 (1972) 215-216. Royston, A pocket-calculator algorithm for the Shapiro-Francia test for
/// non-normality, Statistics in Medicine 12 (1993) 181-184 (coefficients read second-hand, in public statistics code that cites it).
pub fn shapiro_francia(values: &[f64]) -> Option<Normality> {
    let mut sorted = selection(values);
    if sorted.len() < FEWEST {
        return None;
    }
    sorted.sort_by(f64::total_cmp);
    let statistic = squared_correlation(&sorted, &scores(&sorted))?;
    let u = (sorted.len() as f64).ln();
    let v = u.ln();
    let mean = -1.2725 + 1.0521 * (v - u);
    let deviation = 1.0308 - 0.26758 * (v + 2.0 / u);
    let z = ((1.0 - statistic).max(f64::MIN_POSITIVE).ln() - mean) / deviation;
    Some(Normality { statistic, p: normal_cdf(-z), looked_at: sorted.len() })
}

fn selection(values: &[f64]) -> Vec<f64> {
    values.iter().copied().step_by(values.len().div_ceil(MOST).max(1)).collect()
}

/// Normal scores of sorted values, ascending; equal values share the mean of theirs.
fn scores(sorted: &[f64]) -> Vec<f64> {
    let count = sorted.len();
    let mut scores: Vec<f64> = (1..=count).map(|from_top| -blom_score(count, from_top)).collect();
    let mut from = 0;
    for tied in sorted.chunk_by(|one, other| one.total_cmp(other).is_eq()) {
        let own = &mut scores[from..from + tied.len()];
        let mean = own.iter().sum::<f64>() / tied.len() as f64;
        own.fill(mean);
        from += tied.len();
    }
    scores
}

/// `None` where one of the two does not vary.
fn squared_correlation(values: &[f64], scores: &[f64]) -> Option<f64> {
    let (of_values, of_scores) = (Summary::of(values), Summary::of(scores));
    let product = of_values.sum_squares * of_scores.sum_squares;
    let common: f64 =
        values.iter().zip(scores).map(|(value, score)| (value - of_values.mean) * (score - of_scores.mean)).sum();
    (product > 0.0 && product.is_finite()).then(|| (common * common / product).min(1.0))
}

#[cfg(test)]
mod tests {
    use super::shapiro_francia;
    use crate::statistics::{NormalDraws, Stream, normal_cdf};

    fn share_refused(count: usize, level: f64, of: impl Fn(f64) -> f64) -> f64 {
        let mut draws = NormalDraws::new(3, Stream::new(count as u64));
        let tries = 2_000;
        let refused = (0..tries).filter(|_| {
            let sample: Vec<f64> = (0..count).map(|_| of(draws.next_draw())).collect();
            shapiro_francia(&sample).is_some_and(|found| found.p < level)
        });
        refused.count() as f64 / f64::from(tries)
    }

    #[test]
    fn normal_values_are_refused_as_often_as_the_level_says() {
        for count in [5, 10, 25, 100, 400] {
            for level in [0.05, 0.01] {
                let share = share_refused(count, level, |z| 1e6 + 300.0 * z);
                // Three standard errors, and what the fitted formula itself may be off.
                let allowed = 3.0 * (level * (1.0 - level) / 2_000.0_f64).sqrt() + 0.2 * level;
                assert!((share - level).abs() < allowed, "{count} at {level}: {share}");
            }
        }
    }

    #[test]
    fn a_step_of_half_the_scatter_hardly_makes_a_stock_look_odd() {
        for count in [10, 25, 100, 400] {
            let share = share_refused(count, 0.01, |z| (2.0 * z).round());
            assert!(share < 0.04, "{count}: {share}");
        }
    }

    #[test]
    fn two_batches_and_skewed_values_are_noticed() {
        let two = share_refused(40, 0.01, |z| z + 6.0 * f64::from(u8::from((z * 1e6).rem_euclid(2.0) < 1.0)));
        let skewed = share_refused(40, 0.01, |z| -normal_cdf(z).ln());
        assert!(two > 0.9 && skewed > 0.9, "{two} {skewed}");
    }

    #[test]
    fn too_few_or_all_alike_say_nothing() {
        assert_eq!(shapiro_francia(&[1.0, 2.0, 3.0, 4.0]), None);
        assert_eq!(shapiro_francia(&[7.0; 30]), None);
        assert!(shapiro_francia(&[vec![0.0; 4_999], vec![1.0; 6_000]].concat()).is_some());
    }
}
