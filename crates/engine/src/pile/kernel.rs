//! A smoothed bootstrap: measured parts, each spread out by a normal curve.

use crate::statistics::Summary;

/// Normal curves around measured values, drawn together so that mean and variance stay those of the values.
///
/// Bandwidth by Silverman's rule of thumb, `h = 0.9 · min(s, IQR/1.34) · n^(−1/5)`; a draw is
/// `x̄ + (x − x̄ + h·z)/√(1 + h²/s²)` with x one of the values and z standard normal.
///
/// # References
/// Silverman, Density Estimation for Statistics and Data Analysis, Chapman & Hall 1986, equations 3.31 and 6.14; Silverman and Young, The
/// bootstrap: to smooth or not to smooth?, Biometrika 74 (1987) 469-479 (both from memory).
#[derive(Clone, Debug)]
pub(super) struct Kernel {
    values: Vec<f64>,
    mean: f64,
    bandwidth: f64,
    shrink: f64,
}

impl Kernel {
    /// Curves around values that are not all alike.
    pub(super) fn new(values: &[f64], summary: &Summary) -> Self {
        let n = values.len() as f64;
        let deviation = summary.standard_deviation().unwrap_or(0.0);
        let mut sorted = values.to_vec();
        sorted.sort_by(f64::total_cmp);
        let between = (quantile(&sorted, 0.75) - quantile(&sorted, 0.25)) / 1.34;
        // More than half of the parts may measure the same.
        let scale = if between > 0.0 { deviation.min(between) } else { deviation };
        let bandwidth = 0.9 * scale * n.powf(-0.2);
        let variance = summary.sum_squares / n;
        let shrink = (1.0 + bandwidth * bandwidth / variance).sqrt().recip();
        Self { values: values.to_vec(), mean: summary.mean, bandwidth, shrink }
    }

    pub(super) fn bandwidth(&self) -> f64 {
        self.bandwidth
    }

    /// The measured values the curves stand around.
    pub(super) fn centres(&self) -> &[f64] {
        &self.values
    }

    /// A part near this centre, `z` standard deviations of its curve away.
    pub(super) fn near(&self, centre: f64, z: f64) -> f64 {
        self.mean + (centre - self.mean + self.bandwidth * z) * self.shrink
    }
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
    use super::{Kernel, Summary, quantile};

    #[test]
    fn quartiles_lie_straight_between_neighbours() {
        let sorted = [1.0, 2.0, 4.0, 8.0];
        assert!((quantile(&sorted, 0.25) - 1.75).abs() < 1e-12);
        assert!((quantile(&sorted, 0.75) - 5.0).abs() < 1e-12);
        assert!((quantile(&sorted, 1.0) - 8.0).abs() < 1e-12);
    }

    #[test]
    fn the_bandwidth_is_silvermans() {
        let values = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0];
        let summary = Summary::of(&values);
        let kernel = Kernel::new(&values, &summary);
        // s = √6 = 2.449, IQR/1.34 = 3.5/1.34 = 2.612, 8^(−1/5) = 0.659754.
        assert!((kernel.bandwidth() - 0.9 * 6.0_f64.sqrt() * 0.659_754).abs() < 1e-5);
    }

    #[test]
    fn most_of_a_stock_may_measure_the_same() {
        let values = [0.0, 5.0, 5.0, 5.0, 5.0, 5.0, 5.0, 9.0];
        let kernel = Kernel::new(&values, &Summary::of(&values));
        assert!(kernel.bandwidth() > 0.0);
    }
}
