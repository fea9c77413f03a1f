//! Mean and scatter of numbers that may be nearly equal.

/// Count, mean and sum of squared deviations of a set of numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Summary {
    /// How many numbers.
    pub count: usize,
    /// Their mean; 0 for none.
    pub mean: f64,
    /// Sum of the squared deviations from the mean.
    pub sum_squares: f64,
}

impl Summary {
    /// Sums `values` in two passes about their first, with the correction term of the second pass, so that the digits which all the
    /// numbers share cost nothing. O(n).
    ///
    /// # References
    /// Chan, Golub and Leveque, Algorithms for computing the sample variance, The American Statistician 37 (1983) 242-247
    /// (the corrected two-pass algorithm; citation from memory).
    pub fn of(values: &[f64]) -> Self {
        let Some(&origin) = values.first() else {
            return Self { count: 0, mean: 0.0, sum_squares: 0.0 };
        };
        let n = values.len() as f64;
        let shift = values.iter().map(|value| value - origin).sum::<f64>() / n;
        let (mut sum, mut squares) = (0.0, 0.0);
        for value in values {
            let deviation = value - origin - shift;
            sum += deviation;
            squares += deviation * deviation;
        }
        Self { count: values.len(), mean: origin + (shift + sum / n), sum_squares: (squares - sum * sum / n).max(0.0) }
    }

    /// Degrees of freedom of the scatter: one less than the count.
    pub const fn dof(&self) -> usize {
        self.count.saturating_sub(1)
    }

    /// Standard deviation with `n - 1`; `None` below two numbers.
    pub fn standard_deviation(&self) -> Option<f64> {
        (self.count > 1).then(|| (self.sum_squares / self.dof() as f64).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::Summary;

    #[test]
    fn digits_in_common_cost_nothing() {
        let near = Summary::of(&[1.0, 2.0, 4.0]);
        let far = Summary::of(&[1e9 + 1.0, 1e9 + 2.0, 1e9 + 4.0]);
        assert!((near.sum_squares - far.sum_squares).abs() < 1e-12);
        assert!((near.standard_deviation().unwrap().powi(2) - 7.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn none_and_one_have_no_scatter() {
        assert_eq!(Summary::of(&[]).standard_deviation(), None);
        let one = Summary::of(&[3.5]);
        assert_eq!((one.count, one.mean, one.sum_squares), (1, 3.5, 0.0));
        assert_eq!(one.standard_deviation(), None);
    }
}
