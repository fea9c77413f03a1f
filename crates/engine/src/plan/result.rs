//! What a choice results in: placements, fits, limits.

use super::draws::{DrawnFits, spread_interval};
use super::question::Question;
use super::spread_band::band_between;
use crate::fit::{Fit, Pair};
use crate::limit::Limit;
use crate::plan::{FitValue, LimitKind, LimitReport, LimitState, Placement, Plan, Summary};

/// The plan that puts `parts` in the positions, in order.
pub(crate) fn plan(question: &Question<'_>, parts: &[usize]) -> Plan {
    let pairs = pairs(parts);
    let drawn = DrawnFits::new(question, &pairs);
    Plan {
        placements: pairs.iter().map(|&pair| placement(question, pair)).collect(),
        summary: summary(question, &pairs, &drawn),
        limits: question.limits.iter().filter_map(|limit| limit_report(question, limit, &pairs)).collect(),
        chance_all_hold: drawn.chance_all_hold(question),
        left_out: left_out(question, parts),
        moves: question.knows_where_parts_stand().then(|| moves(question, &pairs)),
    }
}

/// The pairs of a choice.
pub(crate) fn pairs(parts: &[usize]) -> Vec<Pair> {
    parts.iter().enumerate().map(|(position, &part)| Pair { position, part }).collect()
}

fn placement(question: &Question<'_>, pair: Pair) -> Placement {
    let fits =
        question.fits().filter_map(|fit| Some(FitValue { fit: fit.name(), estimate: fit.estimate(pair)? })).collect();
    Placement { position: pair.position, parts: vec![pair.part], fits }
}

/// The values of the aim's fit, in position order.
pub(crate) fn aim_values(question: &Question<'_>, parts: &[usize]) -> Vec<i64> {
    values(question.aim_fit(), &pairs(parts))
}

fn values(fit: &dyn Fit, pairs: &[Pair]) -> Vec<i64> {
    pairs.iter().filter_map(|&pair| fit.value(pair)).collect()
}

/// Largest less smallest; 0 for no values.
pub(crate) fn spread(values: &[i64]) -> i64 {
    values.iter().max().zip(values.iter().min()).map_or(0, |(high, low)| high - low)
}

/// Root mean square deviation from `target`.
pub(crate) fn root_mean_square(values: &[i64], target: i64) -> f64 {
    let squares: i128 = values.iter().map(|&value| i128::from(value - target).pow(2)).sum();
    if values.is_empty() { 0.0 } else { (squares as f64 / values.len() as f64).sqrt() }
}

/// Root mean square deviation from the mean.
pub(crate) fn scatter(values: &[i64]) -> f64 {
    let n = values.len() as i128;
    let total: i128 = values.iter().map(|&value| i128::from(value)).sum();
    let squares: i128 = values.iter().map(|&value| i128::from(value) * i128::from(value)).sum();
    if n == 0 { 0.0 } else { ((n * squares - total * total) as f64).sqrt() / n as f64 }
}

fn summary(question: &Question<'_>, pairs: &[Pair], drawn: &DrawnFits) -> Summary {
    let fit = question.aim_fit();
    let values = values(fit, pairs);
    Summary {
        fit: fit.name(),
        spread: spread(&values),
        total: values.iter().sum(),
        worst: question.target().map(|target| values.iter().map(|value| (value - target).abs()).max().unwrap_or(0)),
        scatter: scatter(&values),
        off_target: question.target().map(|target| root_mean_square(&values, target)),
        expected_spread: spread_interval(drawn.of(fit.name())),
    }
}

fn limit_report(question: &Question<'_>, limit: &Limit, pairs: &[Pair]) -> Option<LimitReport> {
    let fit = question.fit(limit.fit)?;
    let (tightest, bound, margin, band) = match limit.kind {
        LimitKind::Spread => spread_margin(question, limit, fit, pairs)?,
        LimitKind::Side(_) => tightest(question, limit, fit, pairs)?,
    };
    let state = match margin {
        _ if (margin as f64) >= band => LimitState::Held,
        0.. => LimitState::Nominal,
        _ => LimitState::Broken,
    };
    Some(LimitReport {
        fit: limit.fit,
        kind: limit.kind,
        bound,
        by_position: limit.by_position,
        guard: limit.guard,
        state,
        tightest,
        margin,
        band,
    })
}

type Margin = (Option<usize>, i64, i64, f64);

/// The position whose margin, less its guard band, is least.
fn tightest(question: &Question<'_>, limit: &Limit, fit: &dyn Fit, pairs: &[Pair]) -> Option<Margin> {
    pairs
        .iter()
        .filter_map(|&pair| {
            let bound = limit.bound(pair.position)?;
            let margin = limit.margin(pair.position, fit.value(pair)?)?;
            Some((Some(pair.position), bound, margin, limit.band(fit.doubt(pair)?, &question.guard)))
        })
        .min_by(|a, b| (a.2 as f64 - a.3).total_cmp(&(b.2 as f64 - b.3)))
}

fn spread_margin(question: &Question<'_>, limit: &Limit, fit: &dyn Fit, pairs: &[Pair]) -> Option<Margin> {
    let bound = limit.bound(0)?;
    let valued = || pairs.iter().filter_map(|&pair| Some((fit.value(pair)?, pair)));
    let (low, high) = valued().min_by_key(|v| v.0).zip(valued().max_by_key(|v| v.0))?;
    let band = if limit.guard && low.1 != high.1 { band_between(fit, [low.1, high.1], &question.guard) } else { 0.0 };
    Some((None, bound, bound - (high.0 - low.0), band))
}

/// Usable parts that the choice does not use.
pub(crate) fn left_out(question: &Question<'_>, parts: &[usize]) -> Vec<usize> {
    let mut used = vec![false; question.stock.parts.len()];
    for &part in parts {
        used[part] = true;
    }
    (0..used.len()).filter(|&part| !used[part] && question.usable(part)).collect()
}

/// Parts of a choice that do not stand in their position already.
pub(crate) fn moves(question: &Question<'_>, pairs: &[Pair]) -> usize {
    pairs.iter().filter(|pair| question.stock.parts[pair.part].at != Some(pair.position)).count()
}
