//! The cosine of an angle, the same bits on every machine.

use std::f64::consts::PI;

/// Millionths of a degree in half a turn.
const HALF_TURN: f64 = 180e6;

/// The cosine of an angle from 0 to 60 degrees, given in millionths of a degree.
///
/// The series of the cosine, `Σ (−1)ᵏ x²ᵏ / (2k)!`, from its small end: at 60 degrees (x = 1.05) the first term left out is below 1e-22.
/// Products and sums only, since a library's cosine may differ in its last bit from machine to machine.
pub(super) fn cosine(millionths: i64) -> f64 {
    const TERMS: i32 = 11;
    let x = millionths as f64 * (PI / HALF_TURN);
    (1..=TERMS).rev().fold(1.0, |inner, k| {
        let (odd, even) = (f64::from(2 * k - 1), f64::from(2 * k));
        1.0 - x * x / (odd * even) * inner
    })
}

#[cfg(test)]
mod tests {
    use super::cosine;

    #[test]
    fn it_is_the_cosine() {
        for degrees in 0..=60 {
            let expected = f64::from(degrees).to_radians().cos();
            assert!((cosine(i64::from(degrees) * 1_000_000) - expected).abs() < 3e-16, "{degrees}");
        }
        assert!((cosine(60_000_000) - 0.5).abs() < 2e-16);
    }
}
