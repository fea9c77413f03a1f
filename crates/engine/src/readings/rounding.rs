//! What the steps of a gauge do to repeats and to their mean.
//!
//! Let the gauge's own scatter be `σ` and its step `q`, and let true values fall anywhere between the steps alike. Then the rounding
//! error of one reading has the variance `q²/12` and does not depend on the own error, so one reading has the variance `σ² + q²/12`. But
//! the rounding errors of two repeats agree in part: their covariance is
//!
//! ```text
//! c(σ) = q² Σ_{k≥1} exp(-4π²k²σ²/q²) / (2π²k²)
//! ```
//!
//! from `q²/12` at σ = 0 (three equal readings are not certainty) to next to nothing from σ = q/2 on (the scatter smooths the steps).
//! Hence repeats as read scatter by `s² = σ² + q²/12 - c` about their mean, and the mean of n has the variance `s²/n + c`. To stay on
//! the safe side of an engine whose true values do not fall anywhere alike, it is never taken below `q²/12` (GUM F.2.2.1).
//!
//! # References
//! The covariance is the Fourier series of the sawtooth of rounding, averaged over the true value; the theory is that of Widrow and
//! Kollár, Quantization Noise, Cambridge 2008 (citation from memory; the formula is derived here and checked by simulation in the tests).
//! JCGM 100:2008 (GUM), F.2.2.1.

use std::f64::consts::PI;

/// Squared ratio of scatter to step at which the series and its small-scatter form have the same, full accuracy.
const CROSSOVER: f64 = 0.009;

/// The step of a gauge.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    squared: f64,
}

impl Step {
    pub(super) fn of(resolution: Option<f64>) -> Self {
        let step = resolution.unwrap_or(0.0);
        Self { squared: step * step }
    }

    /// q²/12.
    pub(super) fn floor(self) -> f64 {
        self.squared / 12.0
    }

    /// Covariance c of the rounding errors of two repeats, for the own variance σ².
    pub(super) fn shared(self, own: f64) -> f64 {
        if self.squared <= 0.0 {
            return 0.0;
        }
        self.squared * shared_of_ratio(own / self.squared)
    }

    /// Variance of repeats as read about their mean, for the own variance: σ² + q²/12 - c.
    pub(super) fn as_read(self, own: f64) -> f64 {
        own + (self.floor() - self.shared(own))
    }

    /// The own variance for a variance as read; the inverse of [`Step::as_read`].
    pub(super) fn own(self, as_read: f64) -> f64 {
        if self.squared <= 0.0 {
            return as_read;
        }
        // as_read - q²/12 <= own <= as_read, and `as_read` grows with `own`: halve the bracket.
        let (mut low, mut high) = ((as_read - self.floor()).max(0.0), as_read);
        for _ in 0..80 {
            let middle = 0.5 * (low + high);
            if self.as_read(middle) < as_read {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }

    /// The scatter of this gauge where repeats as read have this variance.
    pub(super) fn scatter(self, as_read: f64) -> Scatter {
        Scatter { as_read, shared: self.shared(self.own(as_read)), floor: self.floor() }
    }
}

fn shared_of_ratio(ratio: f64) -> f64 {
    if ratio < CROSSOVER {
        // The series by Poisson summation; what is left out is below exp(-1/(4·ratio)).
        return 1.0 / 12.0 + ratio - (ratio / PI).sqrt();
    }
    let mut sum = 0.0;
    for k in 1..=12 {
        let k2 = f64::from(k * k);
        sum += (-4.0 * PI * PI * k2 * ratio).exp() / (2.0 * PI * PI * k2);
    }
    sum
}

/// Variances of readings and of their means.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scatter {
    /// s²: variance of repeats as read.
    pub(super) as_read: f64,
    /// c: what the rounding of repeats has in common.
    pub(super) shared: f64,
    /// q²/12: the least variance of a mean.
    pub(super) floor: f64,
}

impl Scatter {
    /// Nothing at all is known: neither repeats nor a stated figure nor a step.
    pub(super) fn is_unknown(&self) -> bool {
        self.as_read <= 0.0 && self.floor <= 0.0
    }

    /// The variance of the mean of `count` repeats: `max(s²/n + c, q²/12)`.
    pub(super) fn of_mean(&self, count: f64) -> f64 {
        (self.as_read / count + self.shared).max(self.floor)
    }
}

#[cfg(test)]
mod tests {
    use super::{CROSSOVER, Step, shared_of_ratio};
    use crate::statistics::{NormalDraws, Stream, normal_cdf};

    #[test]
    fn the_two_forms_of_the_covariance_meet() {
        let below = shared_of_ratio(CROSSOVER * (1.0 - 1e-12));
        assert!((below - shared_of_ratio(CROSSOVER)).abs() < 1e-11);
        assert!((shared_of_ratio(0.0) - 1.0 / 12.0).abs() < 1e-15);
        assert!(shared_of_ratio(0.25) < 1e-5);
    }

    #[test]
    fn own_and_as_read_are_inverse() {
        let step = Step::of(Some(7.0));
        for own in [0.0, 1e-3, 0.1, 0.44, 1.0, 5.0, 20.0, 300.0] {
            assert!((step.own(step.as_read(own)) - own).abs() < 1e-9 * (1.0 + own), "{own}");
        }
        assert!((Step::of(None).own(4.0) - 4.0).abs() < 1e-15);
    }

    /// The derivation, checked by reading simulated repeats whose true values fall anywhere between two steps.
    #[test]
    fn simulated_repeats_share_what_the_formula_says() {
        let mut draws = NormalDraws::new(11, Stream::new(0));
        for own in [0.05_f64, 0.15, 0.3, 0.6] {
            let (mut shared, mut within) = (0.0, 0.0);
            let n = 400_000;
            for _ in 0..n {
                let truth = normal_cdf(draws.next_draw());
                let mut read = || (truth + own * draws.next_draw()).round() - truth;
                let (a, b) = (read(), read());
                shared += a * b;
                within += 0.5 * (a - b) * (a - b);
            }
            let step = Step::of(Some(1.0));
            assert!((shared / f64::from(n) - step.shared(own * own)).abs() < 0.003, "{own}");
            assert!((within / f64::from(n) - step.as_read(own * own)).abs() < 0.003, "{own}");
        }
    }

    #[test]
    fn a_mean_is_never_surer_than_the_step() {
        let scatter = Step::of(Some(6.0)).scatter(0.0);
        assert!((scatter.of_mean(1.0) - 3.0).abs() < 1e-12);
        assert!((scatter.of_mean(1000.0) - 3.0).abs() < 1e-12);
        let scatter = Step::of(Some(6.0)).scatter(400.0);
        assert!((scatter.of_mean(4.0) - 100.0).abs() < 1e-9);
        assert!((scatter.of_mean(1e6) - 3.0).abs() < 1e-12);
    }
}
