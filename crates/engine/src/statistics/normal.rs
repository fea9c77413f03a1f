//! The normal distribution.

use super::Risk;
use statrs::function::erf::{erfc, erfc_inv};
use std::f64::consts::SQRT_2;

/// Probability that a standard normal value is at most `z`; accurate in the lower tail.
pub fn normal_cdf(z: f64) -> f64 {
    0.5 * erfc(-z / SQRT_2)
}

/// The value that a standard normal variable exceeds with chance `risk`: 1.645 for 0.05, 1.960 for 0.025.
pub fn normal_upper_quantile(risk: Risk) -> f64 {
    SQRT_2 * erfc_inv(2.0 * risk.value())
}

#[cfg(test)]
mod tests {
    use super::{Risk, normal_cdf, normal_upper_quantile};

    #[test]
    fn quantile_and_tail_are_inverse_down_to_small_risks() {
        for risk in [0.5, 0.1, 0.025, 1e-6, 1e-12] {
            let z = normal_upper_quantile(Risk::new(risk).unwrap());
            assert!((normal_cdf(-z) / risk - 1.0).abs() < 1e-9, "{risk}: {z}");
        }
    }
}
