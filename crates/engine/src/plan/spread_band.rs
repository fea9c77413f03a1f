//! The guard band of a limit on a spread.

use super::question::Question;
use crate::fit::{Doubt, Fit, Pair};
use crate::job::FitName;
use crate::limit::{Factor, band};
use crate::statistics::Dof;

/// Up to so many pairs the bands of all differences are looked at one by one.
const LOOKED_AT: usize = 256;

/// The widest guard band of a difference between two placements of `name`, in whole ticks: a
/// spread that stays inside its limit by this much holds it whichever pairs end up at the ends.
///
/// The band of a difference is `t(1 − risk, ν)·√(u_a² + u_b² − 2·cov)`, so errors common to both
/// placements cancel. For large tables the covariance is left out, which can only widen the band.
pub(crate) fn widest_band(question: &Question<'_>, name: FitName) -> i64 {
    let Some(fit) = question.fit(name) else { return 0 };
    let pairs: Vec<Pair> =
        question.pairs().filter(|&pair| question.may_go(pair) && fit.value(pair).is_some()).collect();
    let widest = if pairs.len() <= LOOKED_AT {
        widest_of_all(fit, &pairs, &question.guard)
    } else {
        let doubts = || pairs.iter().filter_map(|&pair| fit.doubt(pair));
        let u = doubts().map(|doubt| doubt.u).fold(0.0, f64::max) * 2_f64.sqrt();
        let dof = fewest(doubts());
        band(Doubt { u, dof, from_line: false }, &question.guard)
    };
    whole_ticks(widest)
}

fn widest_of_all(fit: &dyn Fit, pairs: &[Pair], factor: &Factor) -> f64 {
    let covariance = fit.covariance(pairs);
    let mut widest_u = 0.0_f64;
    for (row, a) in pairs.iter().enumerate() {
        for (column, b) in pairs.iter().enumerate().skip(row + 1) {
            if a.position != b.position && a.part != b.part {
                let variance = covariance[(row, row)] + covariance[(column, column)] - 2.0 * covariance[(row, column)];
                widest_u = widest_u.max(variance.max(0.0).sqrt());
            }
        }
    }
    let dof = fewest(pairs.iter().filter_map(|&pair| fit.doubt(pair)));
    band(Doubt { u: widest_u, dof, from_line: false }, factor)
}

/// The guard band of the difference between the two placements at the ends, in ticks.
pub(crate) fn band_between(fit: &dyn Fit, ends: [Pair; 2], factor: &Factor) -> f64 {
    let covariance = fit.covariance(&ends);
    let variance = covariance[(0, 0)] + covariance[(1, 1)] - 2.0 * covariance[(0, 1)];
    let dof = fewest(ends.iter().filter_map(|&pair| fit.doubt(pair)));
    band(Doubt { u: variance.max(0.0).sqrt(), dof, from_line: false }, factor)
}

/// The fewest degrees of freedom among `doubts`.
fn fewest(doubts: impl Iterator<Item = Doubt>) -> Dof {
    doubts.map(|doubt| doubt.dof).fold(Dof::INFINITE, |a, b| if b < a { b } else { a })
}

#[expect(clippy::cast_possible_truncation, reason = "bands are below a metre: far inside i64")]
fn whole_ticks(band: f64) -> i64 {
    band.ceil() as i64
}
