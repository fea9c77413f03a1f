//! What a choice results in: placements, fits, limits.

use super::bought::shopping;
use super::draws::{DrawnFits, spread_interval};
use super::frame::{Frame, Framed};
use super::question::Question;
use super::setting::{Setting, stands};
use super::spread_band::band_between;
use crate::job::FitName;
use crate::limit::Limit;
use crate::plan::{BankSummary, FitValue, LimitKind, LimitReport, LimitState, Placement, Plan, Summary};
use crate::reduction::Pair;

/// The plan that puts `parts` in the positions, in order.
pub(crate) fn plan(frame: &Frame<'_>, parts: &[usize]) -> Plan {
    let pairs = pairs(parts);
    let drawn = DrawnFits::new(frame, &pairs);
    Plan {
        setting: frame.setting.clone(),
        placements: pairs.iter().map(|&pair| placement(frame, pair)).collect(),
        summary: summary(frame, &pairs, &drawn),
        banks: banks(frame, &pairs, &drawn),
        limits: limit_reports(frame, parts),
        chance_all_hold: drawn.chance_all_hold(frame),
        left_out: left_out(frame, parts),
        others_left_out: others_left_out(frame),
        moves: frame.question.knows_where_parts_stand().then(|| moves(frame, &pairs)),
        shopping: shopping(frame, parts),
    }
}

/// The pairs of a choice.
pub(crate) fn pairs(parts: &[usize]) -> Vec<Pair> {
    parts.iter().enumerate().map(|(position, &part)| Pair { position, part }).collect()
}

fn placement(frame: &Frame<'_>, pair: Pair) -> Placement {
    let own = frame.fits().filter(|fit| !matches!(fit.name(), FitName::Entry(_)));
    let fits = own.filter_map(|fit| Some(FitValue { fit: fit.name(), estimate: fit.estimate(pair)? })).collect();
    let seat = frame.seat(pair);
    let parts = (0..frame.question.matching.place.len()).filter_map(|role| seat.part(role)).collect();
    Placement { position: pair.position, parts, fits }
}

/// The values of the aim's fit, in position order.
pub(crate) fn aim_values(frame: &Frame<'_>, parts: &[usize]) -> Vec<i64> {
    values(frame.aim_fit(), &pairs(parts))
}

fn values(fit: Framed<'_>, pairs: &[Pair]) -> Vec<i64> {
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

fn summary(frame: &Frame<'_>, pairs: &[Pair], drawn: &DrawnFits) -> Summary {
    let fit = frame.aim_fit();
    let values = values(fit, pairs);
    Summary {
        fit: fit.name(),
        spread: spread(&values),
        total: values.iter().sum(),
        mean: mean(&values),
        worst: frame
            .question
            .target()
            .map(|target| values.iter().map(|value| (value - target).abs()).max().unwrap_or(0)),
        scatter: scatter(&values),
        off_target: frame.question.target().map(|target| root_mean_square(&values, target)),
        expected_spread: spread_interval(drawn.of(fit.name()), |_| true),
    }
}

/// The mean; 0 for no values.
pub(crate) fn mean(values: &[i64]) -> f64 {
    let total: i128 = values.iter().map(|&value| i128::from(value)).sum();
    if values.is_empty() { 0.0 } else { total as f64 / values.len() as f64 }
}

fn banks(frame: &Frame<'_>, pairs: &[Pair], drawn: &DrawnFits) -> Vec<BankSummary> {
    let fit = frame.aim_fit();
    let of = |(bank, known): (usize, &crate::job::Bank)| {
        let own: Vec<Pair> = known.cylinders.iter().filter_map(|&position| pairs.get(position).copied()).collect();
        let values = values(fit, &own);
        BankSummary {
            bank,
            mean: mean(&values),
            spread: spread(&values),
            expected_spread: spread_interval(drawn.of(fit.name()), |position| known.cylinders.contains(&position)),
        }
    };
    frame.question.job.banks.iter().enumerate().map(of).collect()
}

/// How every limit that applies fares with a choice.
pub(crate) fn limit_reports(frame: &Frame<'_>, parts: &[usize]) -> Vec<LimitReport> {
    let pairs = pairs(parts);
    frame.question.limits.iter().filter_map(|limit| limit_report(frame, limit, &pairs)).collect()
}

fn limit_report(frame: &Frame<'_>, limit: &Limit, pairs: &[Pair]) -> Option<LimitReport> {
    let fit = frame.fit(limit.fit)?;
    let (tightest, bound, margin, band) = match limit.kind {
        LimitKind::Spread => spread_margin(frame, limit, fit, pairs)?,
        LimitKind::Neighbours => neighbours_margin(frame, limit, fit, pairs)?,
        LimitKind::Side(_) => tightest(frame, limit, fit, pairs)?,
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

/// Whether a choice holds every limit, by its own guard bands.
pub(crate) fn holds(frame: &Frame<'_>, parts: &[usize]) -> bool {
    let pairs = pairs(parts);
    let state = |limit| limit_report(frame, limit, &pairs).map(|report| report.state);
    frame.question.limits.iter().filter_map(state).all(|state| state == LimitState::Held)
}

type Margin = (Option<usize>, i64, i64, f64);

/// The position whose margin, less its guard band, is least.
fn tightest(frame: &Frame<'_>, limit: &Limit, fit: Framed<'_>, pairs: &[Pair]) -> Option<Margin> {
    pairs
        .iter()
        .filter_map(|&pair| {
            let bound = limit.bound(pair.position)?;
            let margin = limit.margin(pair.position, fit.value(pair)?)?;
            Some((Some(pair.position), bound, margin, limit.band(fit.doubt(pair)?, &frame.question.guard)))
        })
        .min_by(|a, b| (a.2 as f64 - a.3).total_cmp(&(b.2 as f64 - b.3)))
}

fn spread_margin(frame: &Frame<'_>, limit: &Limit, fit: Framed<'_>, pairs: &[Pair]) -> Option<Margin> {
    let bound = limit.bound(0)?;
    let valued = || pairs.iter().filter_map(|&pair| Some((fit.value(pair)?, pair)));
    let (low, high) = valued().min_by_key(|v| v.0).zip(valued().max_by_key(|v| v.0))?;
    let band =
        if limit.guard && low.1 != high.1 { band_between(fit, [low.1, high.1], &frame.question.guard) } else { 0.0 };
    Some((None, bound, bound - (high.0 - low.0), band))
}

/// The neighbours whose difference, with its guard band, comes nearest to the bound; named by the first of them.
fn neighbours_margin(frame: &Frame<'_>, limit: &Limit, fit: Framed<'_>, pairs: &[Pair]) -> Option<Margin> {
    let bound = limit.bound(0)?;
    let margin = |(one, other): (usize, usize)| {
        let ends = [*pairs.get(one)?, *pairs.get(other)?];
        let apart = (fit.value(ends[0])? - fit.value(ends[1])?).abs();
        let band = if limit.guard { band_between(fit, ends, &frame.question.guard) } else { 0.0 };
        Some((Some(one), bound, bound - apart, band))
    };
    let margins = frame.question.neighbours().into_iter().filter_map(margin);
    margins.min_by(|a, b| (a.2 as f64 - a.3).total_cmp(&(b.2 as f64 - b.3)))
}

/// Usable parts that the choice does not use; pieces of a type are never left out.
pub(crate) fn left_out(frame: &Frame<'_>, parts: &[usize]) -> Vec<usize> {
    let mut used = vec![false; frame.stock().parts.len()];
    let beside: &[usize] = if frame.question.beside().is_empty() { &[] } else { &frame.seconds };
    for &part in parts.iter().chain(beside) {
        used[part] = true;
    }
    let is_type = |part: usize| frame.stock().parts[part].is_type();
    (0..used.len()).filter(|&part| !used[part] && !is_type(part) && frame.usable(part)).collect()
}

/// Parts of the roles beside the one that varies that stand nowhere in the plan: a type of any number is never
/// left out.
fn others_left_out(frame: &Frame<'_>) -> Vec<(usize, usize)> {
    let question = frame.question;
    let mut left = Vec::new();
    for role in (0..question.matching.place.len()).filter(|&role| role != question.first_role()) {
        if question.beside().contains(&role) {
            continue;
        }
        let stock = question.stocks[role];
        let stands = |part: usize| {
            let serves = frame.setting.of_role(role).any(|served| served.part == part);
            serves || (question.second_role() == Some(role) && frame.seconds.contains(&part))
        };
        let usable =
            |part: &crate::job::Part| !part.is_type() && part.fits.as_ref().is_none_or(|places| !places.is_empty());
        if stock.kind != "gasket" && !question.follows(role) {
            let spare = stock.parts.iter().enumerate().filter(|(part, known)| usable(known) && !stands(*part));
            left.extend(spare.map(|(part, _)| (role, part)));
        }
    }
    left
}

/// Parts of a choice that do not stand in their place already, those of the setting included.
pub(crate) fn moves(frame: &Frame<'_>, pairs: &[Pair]) -> usize {
    let stands = |part| frame.question.stands(part);
    let own = pairs.iter().filter(|pair| stands(&frame.stock().parts[pair.part]) != Some(pair.position)).count();
    own + setting_moves(frame)
}

/// Parts of the setting and of the second role that stand elsewhere; a kind of which no part is said to stand
/// anywhere is not counted.
pub(crate) fn setting_moves(frame: &Frame<'_>) -> usize {
    let question = frame.question;
    let seconds = question.second_role().filter(|&role| is_known_to_stand(question, role)).map_or(0, |role| {
        let stays =
            |(position, &part): (usize, &usize)| question.stands(&question.stocks[role].parts[part]) == Some(position);
        frame.seconds.iter().enumerate().filter(|&placed| !stays(placed)).count()
    });
    served_moves(question, &frame.setting) + seconds + moves_beside(frame)
}

/// Parts of a setting alone that stand elsewhere.
pub(super) fn served_moves(question: &Question<'_>, setting: &Setting) -> usize {
    let served = setting.served.iter().filter(|served| is_known_to_stand(question, served.role));
    served.filter(|served| !stands(&question.stocks[served.role].parts[served.part], served.bank)).count()
}

/// Whether the stock of a role says of any part where it stands.
pub(crate) fn is_known_to_stand(question: &Question<'_>, role: usize) -> bool {
    question.stocks[role].parts.iter().any(|part| part.at.is_some())
}

/// Parts of the roles beside the first that do not stand in their position already, in whichever role.
fn moves_beside(frame: &Frame<'_>) -> usize {
    let beside = frame.question.beside().len();
    if beside == 0 {
        return 0;
    }
    let stands = |part: usize| frame.question.stands(&frame.stock().parts[part]);
    frame.seconds.iter().enumerate().filter(|&(at, &part)| stands(part) != Some(at / beside)).count()
}
