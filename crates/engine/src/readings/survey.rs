//! All findings about a set of readings, the gravest first.

use super::cells::Cell;
use super::effects::Effects;
use super::linear::Fit;
use super::rounding::Step;
use super::suspects::{Examined, name_odd};
use super::{Finding, Gauge, Reading, ReduceError};
use crate::statistics::{Dof, Risk, f_upper_tail};

/// A model or a stated figure is doubted where chance would do as badly less often than this.
const DOUBTFUL: Risk = Risk::ONE_IN_20;
/// Fewer equal readings than this are no sign of a stuck gauge.
const STUCK: usize = 3;

/// Everything there is to say about the readings, in the order of [`Finding`]'s variants. `used` marks those that are not left out.
pub(super) fn survey(
    effects: &Effects,
    gauge: &Gauge,
    readings: &[Reading],
    used: Vec<bool>,
) -> Result<Vec<Finding>, ReduceError> {
    let whole = effects.examined();
    let mut findings = Vec::new();
    let taken_away = name_odd(whole, gauge, readings, used, &mut findings)?;
    let rest = taken_away.as_ref().unwrap_or(whole);
    findings.extend(lack_of_fit(rest, readings));
    findings.extend(scatter_above_stated(rest, gauge));
    findings.extend(all_equal(&whole.fit, readings));
    findings.extend(uneven_spots(&whole.fit, readings));
    findings.extend(unchecked(whole, readings));
    findings.extend(left_out(effects, readings));
    findings.extend(effects.lines().refused.iter().map(|refused| Finding::LineNotDrawn {
        bank: refused.bank,
        measured: refused.measured,
        needed: refused.needed,
    }));
    Ok(findings)
}

fn unchecked(whole: &Examined, readings: &[Reading]) -> Option<Finding> {
    let mut lines: Vec<u32> = whole.crosscheck.unchecked.iter().map(|&at| readings[at].line).collect();
    lines.sort_unstable();
    (!lines.is_empty()).then_some(Finding::Unchecked { lines })
}

fn lines_of(fit: &Fit, cell: &Cell, readings: &[Reading]) -> Vec<u32> {
    let spots = fit.cells.spots(cell).iter();
    let mut lines: Vec<u32> =
        spots.flat_map(|repeats| &fit.cells.order[repeats.range()]).map(|&at| readings[at].line).collect();
    lines.sort_unstable();
    lines
}

fn lack_of_fit(rest: &Examined, readings: &[Reading]) -> Option<Finding> {
    let test = rest.repeatability.lack_of_fit.filter(|test| test.p < DOUBTFUL.value())?;
    let fit = &rest.fit;
    // What the other cells say differs by misfit / (1 - leverage), with the variance v / (1 - leverage).
    let (mut worst, mut most) = (None, 0.0);
    for at in 0..fit.cells.list.len() {
        let (free, misfit) = (fit.freedom(at), fit.solution.misfit_of(&fit.cells, at));
        let squared = misfit * misfit * fit.weight[at] / free;
        if free > 1e-8 && squared > most {
            (worst, most) = (Some((at, misfit / free)), squared);
        }
    }
    let (at, off) = worst?;
    let cell = &fit.cells.list[at];
    Some(Finding::LackOfFit {
        f: test.f,
        p: test.p,
        part: cell.part,
        position: cell.position,
        lines: lines_of(fit, cell, readings),
        off,
    })
}

fn scatter_above_stated(rest: &Examined, gauge: &Gauge) -> Option<Finding> {
    let (found, dof) = rest.repeatability.residual?;
    let own = gauge.repeatability?;
    let stated = Step::of(gauge.resolution).as_read(own * own).sqrt();
    let p = f_upper_tail((found / stated).powi(2), dof, Dof::of_count(super::repeatability::STATED_DOF)?);
    (p < DOUBTFUL.value()).then_some(Finding::ScatterAboveStated { found, stated, p })
}

fn all_equal(fit: &Fit, readings: &[Reading]) -> Option<Finding> {
    let value = readings[*fit.cells.order.first()?].value;
    let count = fit.cells.order.len();
    let equal = fit.cells.order.iter().all(|&at| readings[at].value.total_cmp(&value).is_eq());
    (equal && count >= STUCK && fit.cells.list.len() > 1).then_some(Finding::AllEqual { readings: count, value })
}

fn uneven_spots(fit: &Fit, readings: &[Reading]) -> Option<Finding> {
    let mut spots: Vec<Option<u32>> = fit.cells.repeats.iter().map(|repeats| repeats.spot).collect();
    spots.sort_unstable();
    spots.dedup();
    let uneven = fit.cells.list.iter().filter(|cell| cell.spots.len() < spots.len());
    let mut lines: Vec<u32> = uneven.flat_map(|cell| lines_of(fit, cell, readings)).collect();
    lines.sort_unstable();
    let apart = fit.cells.list.iter().filter(|cell| cell.spots.len() > 1).map(|cell| {
        let means = fit.cells.spots(cell).iter().map(|repeats| repeats.summary.mean);
        let (low, high) = means.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), m| (l.min(m), h.max(m)));
        high - low
    });
    let apart = apart.reduce(f64::max);
    (!lines.is_empty()).then_some(Finding::UnevenSpots { lines, apart })
}

fn left_out<'a>(effects: &'a Effects, readings: &'a [Reading]) -> impl Iterator<Item = Finding> + 'a {
    readings.iter().filter(|reading| reading.left_out).map(|reading| Finding::LeftOut {
        line: reading.line,
        value: reading.value,
        expected: effects.predict(reading.part, reading.position).map(|prediction| prediction.value),
    })
}
