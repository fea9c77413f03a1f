//! Student's t: how wide an interval must be when its standard deviation is itself an estimate.

use super::{Dof, Risk, normal_cdf, normal_upper_quantile};
use statrs::distribution::{Continuous, ContinuousCDF, StudentsT};

/// Beyond this the quantile is taken from the normal one by its expansion in `1/ν`, whose error there is below 1e-10.
const MANY: f64 = 1e4;

fn distribution(dof: Dof) -> Option<StudentsT> {
    StudentsT::new(0.0, 1.0, dof.value()).ok()
}

/// Probability that Student's t with `dof` degrees of freedom is at most `t`; accurate in the lower tail.
pub fn t_cdf(t: f64, dof: Dof) -> f64 {
    if t.is_infinite() {
        return if t < 0.0 { 0.0 } else { 1.0 };
    }
    match distribution(dof) {
        Some(student) if dof.value() < MANY => student.cdf(t),
        // (1 - 1/(4ν)) t / sqrt(1 + t²/(2ν)): Abramowitz and Stegun 26.7.8.
        _ if dof.value().is_finite() => {
            let nu = dof.value();
            normal_cdf(t * (1.0 - 0.25 / nu) / (1.0 + 0.5 * t * t / nu).sqrt())
        }
        _ => normal_cdf(t),
    }
}

/// The chance of a t at least this far from 0 on either side.
pub fn t_two_sided_tail(t: f64, dof: Dof) -> f64 {
    (2.0 * t_cdf(-t.abs(), dof)).min(1.0)
}

/// The value that Student's t exceeds with chance `risk`: the factor of a one-sided guard band.
///
/// With infinite degrees of freedom it is the normal quantile, 1.645 for 0.05 and 1.960 for 0.025.
pub fn t_upper_quantile(risk: Risk, dof: Dof) -> f64 {
    let z = normal_upper_quantile(risk);
    let nu = dof.value();
    match distribution(dof) {
        Some(student) if nu < MANY => -lower_quantile(&student, risk.value()),
        // Abramowitz and Stegun 26.7.5, first two terms.
        _ if nu.is_finite() => {
            let first = (z.powi(3) + z) / 4.0;
            let second = (5.0 * z.powi(5) + 16.0 * z.powi(3) + 3.0 * z) / 96.0;
            z + first / nu + second / (nu * nu)
        }
        _ => z,
    }
}

/// The library's inverse keeps 3 to 9 digits; Newton's steps on the logarithm of its tail give the rest.
fn lower_quantile(student: &StudentsT, risk: f64) -> f64 {
    let mut t = student.inverse_cdf(risk);
    for _ in 0..20 {
        let tail = student.cdf(t);
        let step = (tail / risk).ln() * tail / student.pdf(t);
        if !step.is_finite() {
            break;
        }
        t -= step;
        if step.abs() <= 1e-14 * t.abs() {
            break;
        }
    }
    t
}

/// The factor k of an interval `value ± k·u` that leaves `risk` outside, half on each side: 1.960 for 0.05 and infinite degrees of freedom.
pub fn t_two_sided_factor(risk: Risk, dof: Dof) -> f64 {
    t_upper_quantile(risk.shared_by(2), dof)
}

#[cfg(test)]
mod tests {
    use super::{Dof, Risk, t_cdf, t_two_sided_factor, t_two_sided_tail, t_upper_quantile};

    #[test]
    fn one_and_two_degrees_of_freedom_have_closed_forms() {
        for risk in [0.4, 0.1, 0.025, 1e-4, 1e-8] {
            let level = Risk::new(risk).unwrap();
            let one = t_upper_quantile(level, Dof::new(1.0).unwrap());
            let cauchy = 1.0 / (std::f64::consts::PI * risk).tan();
            assert!((one / cauchy - 1.0).abs() < 1e-9, "{risk}: {one} {cauchy}");
            let two = t_upper_quantile(level, Dof::new(2.0).unwrap());
            let exact = (1.0 - 2.0 * risk) / (2.0 * risk * (1.0 - risk)).sqrt();
            assert!((two / exact - 1.0).abs() < 1e-9, "{risk}: {two} {exact}");
        }
    }

    #[test]
    fn quantile_and_tail_are_inverse_and_meet_the_normal() {
        for nu in [0.7, 3.0, 10.0, 99.5, 4e3, 9.9e4, 1.1e5, 1e9, f64::INFINITY] {
            let dof = Dof::new(nu).unwrap();
            for risk in [0.3, 0.05, 0.001] {
                let t = t_two_sided_factor(Risk::new(risk).unwrap(), dof);
                let back = t_two_sided_tail(t, dof);
                assert!((back / risk - 1.0).abs() < 1e-6, "{nu} {risk}: {back}");
            }
        }
        assert!((t_cdf(0.0, Dof::INFINITE) - 0.5).abs() < 1e-15);
        assert!(t_cdf(f64::NEG_INFINITY, Dof::new(3.0).unwrap()).abs() < 1e-300);
    }
}
