//! Joint draws of the true values behind a plan.

use super::frame::{Frame, Framed};
use crate::fit::{Budget, joint_covariance};
use crate::job::FitName;
use crate::plan::{Interval, LimitKind};
use crate::reduction::Pair;
use crate::statistics::{Stream, joint_normal};

/// Draws made for every plan: the 2.5 % points of a spread then lie within about 3 % of its width.
pub(crate) const DRAWS: usize = 2_000;

/// The stream of the draws.
const TOGETHER: u64 = 0;

/// True values of the fits of one plan, drawn together so that shared errors stay shared.
#[derive(Debug)]
pub(crate) struct DrawnFits {
    fits: Vec<Drawn>,
}

/// The draws of one fit: `DRAWS` rows of one value a position that it is about, in ticks.
#[derive(Debug)]
struct Drawn {
    fit: FitName,
    positions: Vec<usize>,
    values: Vec<f64>,
}

impl DrawnFits {
    /// Draws the aim's fit and every limited one at `pairs`, all from one joint distribution: what two fits share, such
    /// as a deck clearance, they share in every draw.
    pub(crate) fn new(frame: &Frame<'_>, pairs: &[Pair]) -> Self {
        let aim = frame.question.matching.aim.fit;
        let asked = |fit: &FitName| *fit == aim || frame.question.limits.iter().any(|limit| limit.fit == *fit);
        let fits: Vec<Framed<'_>> = frame.fits().filter(|fit| asked(&fit.name())).collect();
        let about = |fit: &Framed<'_>| pairs.iter().copied().filter(|&pair| fit.is_about(pair)).collect::<Vec<Pair>>();
        let about: Vec<Vec<Pair>> = fits.iter().map(about).collect();
        let error = |fit: &Framed<'_>, pair: Pair| fit.errors(pair).unwrap_or_default();
        let errors: Vec<Budget> =
            fits.iter().zip(&about).flat_map(|(fit, own)| own.iter().map(|&pair| error(fit, pair))).collect();
        let covariance = joint_covariance(&errors, frame.question.reductions.deck.as_ref());
        // Lengths, volumes, masses and ratios side by side: each in units of its own uncertainty.
        let units: Vec<f64> = covariance.diagonal().iter().map(|variance| variance.max(0.0).sqrt()).collect();
        let correlation = covariance.map_with_location(|row, column, shared| match units[row] * units[column] {
            product if product > 0.0 => shared / product,
            _ => 0.0,
        });
        let draws = joint_normal(&correlation, DRAWS, frame.question.job.seed, Stream::new(TOGETHER));
        let mut first = 0;
        let drawn = |(fit, about): (&Framed<'_>, &Vec<Pair>)| {
            let centres: Vec<f64> = about.iter().map(|&pair| fit.value(pair).unwrap_or(0) as f64).collect();
            let rows = first..first + about.len();
            first = rows.end;
            let own = |draw: usize| {
                let errors = draws.column(draw);
                let rows = rows.clone().zip(&centres);
                rows.map(|(row, centre)| errors[row] * units[row] + centre).collect::<Vec<f64>>()
            };
            let positions = about.iter().map(|pair| pair.position).collect();
            Drawn { fit: fit.name(), positions, values: (0..DRAWS).flat_map(own).collect() }
        };
        Self { fits: fits.iter().zip(&about).map(drawn).collect() }
    }

    /// The draws of `fit`, a slice of one value a position that it is about for every draw.
    pub(crate) fn of(&self, fit: FitName) -> impl Iterator<Item = &[f64]> {
        self.drawn(fit).flat_map(|drawn| drawn.values.chunks_exact(drawn.positions.len().max(1)))
    }

    /// The positions that those values are of.
    fn positions(&self, fit: FitName) -> &[usize] {
        self.drawn(fit).next().map_or(&[], |drawn| &drawn.positions)
    }

    fn drawn(&self, fit: FitName) -> impl Iterator<Item = &Drawn> {
        self.fits.iter().filter(move |drawn| drawn.fit == fit)
    }

    /// The share of draws in which the true values keep every limit; `None` without limits.
    pub(crate) fn chance_all_hold(&self, frame: &Frame<'_>) -> Option<f64> {
        if frame.question.limits.is_empty() {
            return None;
        }
        let mut holds = [true; DRAWS];
        for limit in &frame.question.limits {
            let positions = self.positions(limit.fit);
            for (holds, values) in holds.iter_mut().zip(self.of(limit.fit)) {
                *holds &= match limit.kind {
                    LimitKind::Spread => limit.bound(0).is_none_or(|bound| spread_of(values) <= bound as f64),
                    LimitKind::Neighbours => limit.bound(0).is_none_or(|bound| {
                        let apart = |(one, other): (usize, usize)| (values[one] - values[other]).abs();
                        frame.question.neighbours().into_iter().all(|two| apart(two) <= bound as f64)
                    }),
                    LimitKind::Side(_) => positions.iter().zip(values).all(|(&position, &value)| {
                        limit.true_margin(position, value).is_none_or(|margin| margin >= 0.0)
                    }),
                };
            }
        }
        Some(holds.iter().filter(|&&holds| holds).count() as f64 / DRAWS as f64)
    }
}

/// Mean and central 95 % of the spread over the draws, of the positions that `counts`.
pub(crate) fn spread_interval<'d>(draws: impl Iterator<Item = &'d [f64]>, counts: impl Fn(usize) -> bool) -> Interval {
    let own = |draw: &[f64]| -> Vec<f64> {
        draw.iter().enumerate().filter(|(position, _)| counts(*position)).map(|(_, &value)| value).collect()
    };
    let mut spreads: Vec<f64> = draws.map(|draw| spread_of(&own(draw))).collect();
    if spreads.is_empty() {
        return Interval { value: 0.0, low: 0.0, high: 0.0 };
    }
    spreads.sort_by(f64::total_cmp);
    let tail = spreads.len() / 40;
    let mean = spreads.iter().sum::<f64>() / spreads.len() as f64;
    Interval { value: mean, low: spreads[tail], high: spreads[spreads.len() - 1 - tail] }
}

fn spread_of(values: &[f64]) -> f64 {
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    (high - low).max(0.0)
}
