//! A smoothed bootstrap: measured parts, each spread out by a normal curve.

use super::Numbers;
use crate::statistics::{NormalDraws, Summary};

/// Normal curves around measured parts, drawn together so that the mean and variance of every number stay those measured.
///
/// Bandwidth of each of d numbers by Silverman's rule of thumb, `h = 0.9 · min(s, IQR/1.34) · n^(−1/(d+4))`, or
/// the share of it, down to 0.18, under which each value is likeliest by the others (cross-validated likelihood, one left out); a draw is
/// `x̄ + (x − x̄ + h·z)/√(1 + h²/s²)` with x from one of the parts and z standard normal.
///
/// # References
/// Silverman, Density Estimation for Statistics and Data Analysis, Chapman & Hall 1986, sections 3.4.2, 4.3.2 and 6.4.1; Silverman and Young,
/// The bootstrap: to smooth or not to smooth?, Biometrika 74 (1987) 469-479 (both from memory).
#[derive(Clone, Debug)]
pub(super) struct Kernel {
    parts: Numbers,
    curves: Vec<Curve>,
}

/// The curve of one number.
#[derive(Clone, Copy, Debug)]
struct Curve {
    mean: f64,
    bandwidth: f64,
    shrink: f64,
}

impl Kernel {
    /// Curves around parts; `columns` and `summaries` are theirs, number by number.
    pub(super) fn new(parts: &Numbers, columns: &[Vec<f64>], summaries: &[Summary]) -> Self {
        let power = -1.0 / (columns.len() as f64 + 4.0);
        let curves = columns.iter().zip(summaries).map(|(column, summary)| Curve::new(column, summary, power));
        Self { parts: parts.clone(), curves: curves.collect() }
    }

    pub(super) fn bandwidth(&self, number: usize) -> f64 {
        self.curves.get(number).map_or(0.0, |curve| curve.bandwidth)
    }

    /// The measured parts the curves stand around.
    pub(super) fn centres(&self) -> &Numbers {
        &self.parts
    }

    /// A part near the measured one with this index.
    pub(super) fn near(&self, centre: usize, draws: &mut NormalDraws) -> Vec<f64> {
        let near = |(&value, curve): (&f64, &Curve)| curve.near(value, draws.next_draw());
        self.parts.part(centre).iter().zip(&self.curves).map(near).collect()
    }
}

impl Curve {
    fn new(column: &[f64], summary: &Summary, power: f64) -> Self {
        let n = column.len() as f64;
        let deviation = summary.standard_deviation().unwrap_or(0.0);
        let mut sorted = column.to_vec();
        sorted.sort_by(f64::total_cmp);
        let between = (quantile(&sorted, 0.75) - quantile(&sorted, 0.25)) / 1.34;
        // More than half of the parts may measure the same.
        let scale = if between > 0.0 { deviation.min(between) } else { deviation };
        let rule = 0.9 * scale * n.powf(power);
        let bandwidth = rule * narrowed(column, rule);
        let variance = summary.sum_squares / n;
        let shrink = if variance > 0.0 { (1.0 + bandwidth * bandwidth / variance).sqrt().recip() } else { 1.0 };
        Self { mean: summary.mean, bandwidth, shrink }
    }

    fn near(&self, value: f64, z: f64) -> f64 {
        self.mean + (value - self.mean + self.bandwidth * z) * self.shrink
    }
}

/// Shares of the rule of thumb to choose from: the rule itself is too wide where a stock is of several batches.
const SHARES: [f64; 6] = [1.0, 0.71, 0.5, 0.35, 0.25, 0.18];

/// No more values than this are looked at to choose among them.
const MOST: usize = 500;

/// The share under which each value is likeliest by the curves around all the others; of equal ones the widest. O(n²) for up to 500 values.
fn narrowed(column: &[f64], rule: f64) -> f64 {
    let values: Vec<f64> = column.iter().copied().step_by(column.len().div_ceil(MOST).max(1)).collect();
    let likelihood = |share: f64| -> f64 {
        let h = share * rule;
        let density = |at: usize| {
            let near = |other: usize| (-0.5 * ((values[at] - values[other]) / h).powi(2)).exp();
            (0..values.len()).filter(|&other| other != at).map(near).sum::<f64>() / h
        };
        (0..values.len()).map(|at| density(at).max(f64::MIN_POSITIVE).ln()).sum()
    };
    if rule <= 0.0 {
        return 1.0;
    }
    let all = SHARES.map(|share| (share, likelihood(share)));
    all.into_iter().reduce(|best, next| if next.1 > best.1 { next } else { best }).map_or(1.0, |(share, _)| share)
}

/// The value below which this share of sorted values lies, straight between neighbours.
fn quantile(sorted: &[f64], share: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else { return 0.0 };
    let at = share * last as f64;
    let below = sorted.iter().enumerate().take_while(|&(index, _)| index as f64 <= at).last();
    let Some((index, &low)) = below else { return sorted[0] };
    let high = sorted.get(index + 1).copied().unwrap_or(low);
    low + (high - low) * (at - index as f64)
}

#[cfg(test)]
mod tests {
    use super::{Kernel, Numbers, Summary, quantile};

    fn kernel(values: &[f64]) -> Kernel {
        Kernel::new(&Numbers::single(values.to_vec()), &[values.to_vec()], &[Summary::of(values)])
    }

    #[test]
    fn quartiles_lie_straight_between_neighbours() {
        let sorted = [1.0, 2.0, 4.0, 8.0];
        assert!((quantile(&sorted, 0.25) - 1.75).abs() < 1e-12);
        assert!((quantile(&sorted, 0.75) - 5.0).abs() < 1e-12);
        assert!((quantile(&sorted, 1.0) - 8.0).abs() < 1e-12);
    }

    #[test]
    fn the_bandwidth_is_silvermans() {
        // s = √6 = 2.449, IQR/1.34 = 3.5/1.34 = 2.612, 8^(−1/5) = 0.659754.
        let found = kernel(&[0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0]).bandwidth(0);
        assert!((found - 0.9 * 6.0_f64.sqrt() * 0.659_754).abs() < 1e-5);
    }

    #[test]
    fn most_of_a_stock_may_measure_the_same() {
        assert!(kernel(&[0.0, 5.0, 5.0, 5.0, 5.0, 5.0, 5.0, 9.0]).bandwidth(0) > 0.0);
    }
}
