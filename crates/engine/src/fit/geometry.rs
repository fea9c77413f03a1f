//! Areas, volumes and the ratio made of them.
//!
//! Lengths are nanometres, areas nm², volumes ticks of 1e-6 cc. Everything is a product or a
//! quotient of floats, so the same bits come out on every machine; values become whole ticks in
//! [`whole`] and nowhere else.

use std::f64::consts::FRAC_PI_4;

/// Cubic nanometres in one tick of volume: 1e-6 cc is 1e15 nm³.
const CUBIC_NM: f64 = 1e15;

/// Ticks in a ratio of 1.
pub const RATIO: f64 = 1e6;

/// Area of a circle in nm²: `π/4 · d²`.
#[must_use]
pub fn circle(diameter: f64) -> f64 {
    FRAC_PI_4 * diameter * diameter
}

/// Volume of a cylinder in ticks of 1e-6 cc: `area · height`.
///
/// A bore and a stroke of 100 mm sweep 785.398 cc:
/// ```
/// use pairwright_engine::fit::geometry::{circle, cylinder};
/// assert!((cylinder(circle(100e6), 100e6) / 1e6 - 785.398).abs() < 0.001);
/// ```
#[must_use]
pub fn cylinder(area: f64, height: f64) -> f64 {
    area * (height / CUBIC_NM)
}

/// Compression ratio `(swept + clearance) / clearance`; `None` unless the clearance is positive.
///
/// ```
/// use pairwright_engine::fit::geometry::compression;
/// assert_eq!(compression(120.0, 20.0), Some(7.0));
/// assert_eq!(compression(120.0, 0.0), None);
/// ```
#[must_use]
pub fn compression(swept: f64, clearance: f64) -> Option<f64> {
    (clearance > 0.0).then(|| (swept + clearance) / clearance)
}

/// The nearest whole number of ticks, a half to the even one; `None` beyond 2^53, where a float
/// cannot tell neighbours apart, and for what is no number.
///
/// ```
/// use pairwright_engine::fit::geometry::whole;
/// assert_eq!([whole(2.5), whole(-0.5), whole(f64::NAN), whole(1e300)], [Some(2), Some(0), None, None]);
/// ```
#[must_use]
#[expect(clippy::cast_possible_truncation, reason = "checked against 2^53")]
pub fn whole(ticks: f64) -> Option<i64> {
    const MOST: f64 = 9_007_199_254_740_992.0;
    (ticks.abs() <= MOST).then(|| ticks.round_ties_even() as i64)
}
