//! Fisher's F: whether two mean squares differ by more than chance.

use super::Dof;
use statrs::function::beta::beta_reg;
use statrs::function::gamma::gamma_ur;

/// The chance that the ratio of a mean square with `upper` to one with `lower` degrees of freedom is at least `f`.
///
/// An infinite `lower` compares with a known variance (chi-squared). A negative `f` gives 1, one that is not a number gives NaN.
pub fn f_upper_tail(f: f64, upper: Dof, lower: Dof) -> f64 {
    if f <= 0.0 {
        return 1.0;
    }
    if f.is_nan() || f.is_infinite() {
        return if f.is_nan() { f64::NAN } else { 0.0 };
    }
    let (a, b) = (upper.value(), lower.value());
    match (a.is_finite(), b.is_finite()) {
        (true, true) => beta_reg(0.5 * b, 0.5 * a, b / (b + a * f)),
        (true, false) => gamma_ur(0.5 * a, 0.5 * a * f),
        // A known variance against an estimated one: the lower mean square would have to be at most 1/f of it.
        (false, true) => 1.0 - gamma_ur(0.5 * b, 0.5 * b / f),
        (false, false) => f64::from(u8::from(f <= 1.0)),
    }
}

#[cfg(test)]
mod tests {
    use super::{Dof, f_upper_tail};
    use crate::statistics::t_two_sided_tail;

    #[test]
    fn one_degree_of_freedom_is_the_square_of_t() {
        for nu in [1.0, 4.0, 30.0] {
            let dof = Dof::new(nu).unwrap();
            let tail = f_upper_tail(2.5 * 2.5, Dof::new(1.0).unwrap(), dof);
            assert!((tail - t_two_sided_tail(2.5, dof)).abs() < 1e-12);
        }
    }

    #[test]
    fn known_variances_are_the_limit_of_many_degrees_of_freedom() {
        let five = Dof::new(5.0).unwrap();
        let many = Dof::new(1e7).unwrap();
        let known = f_upper_tail(2.0, five, Dof::INFINITE);
        assert!((known - f_upper_tail(2.0, five, many)).abs() < 1e-5);
        let known = f_upper_tail(2.0, Dof::INFINITE, five);
        assert!((known - f_upper_tail(2.0, many, five)).abs() < 1e-5);
        assert!((f_upper_tail(-1.0, five, five) - 1.0).abs() < 1e-15);
        assert!(f_upper_tail(f64::INFINITY, five, five).abs() < 1e-15);
    }
}
