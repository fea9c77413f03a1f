//! The guard band of a limit on a spread.

use nalgebra::DMatrix;

use super::frame::{Frame, Framed};
use crate::fit::{Doubt, Fit, Seat};
use crate::job::FitName;
use crate::limit::{Factor, band};
use crate::reduction::Pair;
use crate::statistics::Dof;

/// Up to so many pairs the bands of all differences are looked at one by one.
const LOOKED_AT: usize = 256;

/// The guard bands of a spread, in whole ticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct SpreadBands {
    /// No two placements have a narrower one: a spread that is not inside its limit by this much
    /// never holds it.
    pub(crate) narrowest: i64,
    /// No two placements have a wider one: a spread that is inside its limit by this much holds it
    /// whichever pairs end up at the ends.
    pub(crate) widest: i64,
}

/// The bands of the differences between any two placements of `name`.
///
/// The band of a difference is `t(1 − risk, ν)·√(u_a² + u_b² − 2·cov)`, so errors common to both
/// placements cancel. For large tables the covariance is left out, which can only widen the widest
/// band; the narrowest is then taken for 0.
pub(crate) fn spread_bands(frame: &Frame<'_>, name: FitName) -> SpreadBands {
    let Some(fit) = frame.fit(name) else { return SpreadBands { narrowest: 0, widest: 0 } };
    let pairs: Vec<Pair> = frame.pairs().filter(|&pair| frame.may_go(pair) && fit.value(pair).is_some()).collect();
    if pairs.len() <= LOOKED_AT {
        bands_of_all(fit, &pairs, &frame.question.guard)
    } else {
        let doubts = || pairs.iter().filter_map(|&pair| fit.doubt(pair));
        let u = doubts().map(|doubt| doubt.u).fold(0.0, f64::max) * 2_f64.sqrt();
        let dof = fewest(doubts());
        let widest = band(Doubt { u, dof, from_line: false }, &frame.question.guard);
        SpreadBands { narrowest: 0, widest: whole_ticks(widest) }
    }
}

fn bands_of_all(fit: Framed<'_>, pairs: &[Pair], factor: &Factor) -> SpreadBands {
    let covariance = fit.covariance(pairs);
    let (mut narrowest_u, mut widest_u) = (f64::INFINITY, 0.0_f64);
    for (row, a) in pairs.iter().enumerate() {
        for (column, b) in pairs.iter().enumerate().skip(row + 1) {
            if a.position != b.position && a.part != b.part {
                let variance = covariance[(row, row)] + covariance[(column, column)] - 2.0 * covariance[(row, column)];
                let u = variance.max(0.0).sqrt();
                (narrowest_u, widest_u) = (narrowest_u.min(u), widest_u.max(u));
            }
        }
    }
    let dof = fewest(pairs.iter().filter_map(|&pair| fit.doubt(pair)));
    let ticks = |u: f64| whole_ticks(band(Doubt { u, dof, from_line: false }, factor));
    SpreadBands { narrowest: if narrowest_u.is_finite() { ticks(narrowest_u) } else { 0 }, widest: ticks(widest_u) }
}

/// The guard band of the difference between the two placements at the ends, in ticks.
pub(crate) fn band_between(fit: Framed<'_>, ends: [Pair; 2], factor: &Factor) -> f64 {
    difference(&fit.covariance(&ends), ends.iter().filter_map(|&pair| fit.doubt(pair)), factor)
}

/// The same for two seats of different frames.
pub(super) fn band_between_seats(fit: &dyn Fit, ends: [Seat; 2], factor: &Factor) -> f64 {
    difference(&fit.covariance(&ends), ends.iter().filter_map(|&seat| fit.doubt(seat)), factor)
}

fn difference(covariance: &DMatrix<f64>, doubts: impl Iterator<Item = Doubt>, factor: &Factor) -> f64 {
    let variance = covariance[(0, 0)] + covariance[(1, 1)] - 2.0 * covariance[(0, 1)];
    band(Doubt { u: variance.max(0.0).sqrt(), dof: fewest(doubts), from_line: false }, factor)
}

/// The fewest degrees of freedom among `doubts`.
fn fewest(doubts: impl Iterator<Item = Doubt>) -> Dof {
    doubts.map(|doubt| doubt.dof).fold(Dof::INFINITE, |a, b| if b < a { b } else { a })
}

#[expect(clippy::cast_possible_truncation, reason = "bands are below a metre: far inside i64")]
fn whole_ticks(band: f64) -> i64 {
    band.ceil() as i64
}
