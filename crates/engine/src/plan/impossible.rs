//! Why there is no plan, and what would give one.

use std::collections::BTreeSet;

use pairwright_assign::Cause;
use pairwright_proof::Measure;

use super::admission::{Bar, Relaxed};
use super::choose::{Answer, PlanError, Short};
use super::question::Question;
use super::result;
use super::tables::{Rank, Tables};
use super::too_coarse::too_coarse;
use crate::fit::Pair;
use crate::plan::{Culprit, Impossible, LimitKind, LimitState, Plan};

/// Explains a shortage.
///
/// # Errors
/// [`PlanError`] from the re-solves.
pub(crate) fn impossible(question: &Question<'_>, short: &Short) -> Result<Impossible, PlanError> {
    Ok(Impossible {
        positions: short.positions.clone(),
        parts: short.parts.clone(),
        culprits: culprits(question, short)?,
        by_widest_band: false,
        nominal: nominal(question)?.map(Box::new),
        too_coarse: too_coarse(question),
    })
}

/// The best plan with every value taken at face value, unless that is no different.
fn nominal(question: &Question<'_>) -> Result<Option<Plan>, PlanError> {
    let tables = Tables::settled(question, Relaxed { unguarded: true, ..Relaxed::default() })?;
    let chosen = tables.answer(&tables.problem()?)?.chosen();
    let plan = chosen.map(|chosen| result::plan(question, &chosen.parts));
    Ok(plan.filter(|plan| plan.limits.iter().any(|limit| limit.state == LimitState::Nominal)))
}

/// What keeps the other parts out of the competing positions, each limit with the smallest change
/// of it alone that would give a plan.
fn culprits(question: &Question<'_>, short: &Short) -> Result<Vec<Culprit>, PlanError> {
    let mut bars = BTreeSet::new();
    let competing: BTreeSet<usize> = short.parts.iter().copied().collect();
    for &position in &short.positions {
        for part in (0..question.stock.parts.len()).filter(|part| !competing.contains(part)) {
            bars.extend(question.bars(Pair { position, part }, Relaxed::default()));
        }
    }
    let mut culprits = Vec::new();
    for (index, limit) in question.limits.iter().enumerate() {
        let stands_in_the_way =
            bars.contains(&Bar::Limit(index)) || (limit.kind == LimitKind::Spread && by_window(short));
        if stands_in_the_way {
            let enough = enough(question, index)?;
            culprits.push(Culprit::Limit { fit: limit.fit, kind: limit.kind, enough });
        }
    }
    let others = [(Bar::Pinned, Culprit::KeepOrBar), (Bar::Fits, Culprit::Fits), (Bar::Untied, Culprit::Untied)];
    culprits.extend(others.into_iter().filter(|(bar, _)| bars.contains(bar)).map(|(_, culprit)| culprit));
    Ok(culprits)
}

fn by_window(short: &Short) -> bool {
    matches!(short.cause, Cause::Window { .. } | Cause::WindowsTogether)
}

/// The smallest outward change, in ticks, of one limit that gives a plan; `None` if no change of
/// it alone does.
fn enough(question: &Question<'_>, limit: usize) -> Result<Option<i64>, PlanError> {
    match question.limits[limit].kind {
        LimitKind::Spread => enough_spread(question, limit),
        LimitKind::Side(_) => enough_side(question, limit),
    }
}

/// Bisects over the distances by which pairs miss the limit: nothing changes between two of them.
fn enough_side(question: &Question<'_>, limit: usize) -> Result<Option<i64>, PlanError> {
    let shortfalls: BTreeSet<i64> = question
        .pairs()
        .filter(|&pair| question.may_go(pair) && !question.pinned_out(pair))
        .map(|pair| question.shortfall(limit, pair, false))
        .filter(|&shortfall| shortfall > 0)
        .collect();
    let shortfalls: Vec<i64> = shortfalls.into_iter().collect();
    let gives_a_plan = |ticks| -> Result<bool, PlanError> {
        let tables = Tables::new(question, Relaxed { moved: Some((limit, ticks)), ..Relaxed::default() })?;
        let feasible = Tables { ranks: tables.ranks[..1].to_vec(), ..tables };
        Ok(matches!(feasible.answer(&feasible.problem()?)?, Answer::Chosen(_)))
    };
    let (mut low, mut high) = (0, shortfalls.len());
    while low < high {
        let middle = low.midpoint(high);
        if gives_a_plan(shortfalls[middle])? { high = middle } else { low = middle + 1 }
    }
    Ok(shortfalls.get(low).copied())
}

/// The least spread that the limited fit can have, the other limits held, less what is allowed.
fn enough_spread(question: &Question<'_>, limit: usize) -> Result<Option<i64>, PlanError> {
    let mut tables = Tables::new(question, Relaxed::default())?;
    let Some(at) = tables.widths.iter().position(|width| width.limit == limit) else { return Ok(None) };
    let width = tables.widths.remove(at);
    // The aim's table forbids what may not be chosen: it stays in the problem through a second rank.
    tables.ranks = vec![Rank::least(width.table, Measure::Spread), Rank::least(0, Measure::Spread)];
    let chosen = tables.answer(&tables.problem()?)?.chosen();
    let least = chosen.and_then(|chosen| i64::try_from(chosen.values[0]).ok());
    Ok(least.map(|least| least - width.ticks).filter(|&more| more > 0))
}
