//! Other plans that differ in substance.

use pairwright_proof::Measure;

use super::{Alternative, OtherPlan, Scene};
use crate::plan::{Answer, Asked, Chosen, PlanError, Rank, Tables, moves, pairs};
use crate::reduction::Pair;

/// The best plan with another set of parts left out, and one as good by the aim that moves fewer
/// parts, where there are such plans.
pub(super) fn others(scene: &Scene<'_, '_>) -> Result<Vec<OtherPlan>, PlanError> {
    let mut others = Vec::new();
    others.extend(other_parts(scene)?);
    others.extend(fewer_moves(scene)?);
    Ok(others)
}

/// Leaves each chosen part out in turn and keeps the best plan by the match's own criteria; a spare
/// part like a chosen one settles it at once.
fn other_parts(scene: &Scene<'_, '_>) -> Result<Option<OtherPlan>, PlanError> {
    if scene.plan.left_out.is_empty() && !scene.has_types() {
        return Ok(None);
    }
    let used = &scene.used();
    let alone = scene.question().beside().is_empty();
    let measured = used.iter().filter(|&&part| alone && !scene.is_type(part));
    let alike = measured.into_iter().find_map(|&part| Some((part, scene.tables().spare_like(part, used)?)));
    if let Some((without, spare)) = alike {
        return Ok(Some(OtherPlan::OtherParts { without, plan: scene.exchanged(without, spare) }));
    }
    let mut best: Option<(usize, Chosen)> = None;
    let mut short = Vec::new();
    let mut undecided = false;
    for &part in used {
        if scene.comes_earlier(part) {
            continue;
        }
        let asked = Asked { leave_out: Some(part), ..Asked::default() };
        let chosen = match scene.search.best(asked)? {
            Answer::Chosen(chosen) => chosen,
            Answer::Short(_) => {
                short.push(part);
                continue;
            }
            Answer::Undecided => {
                undecided = true;
                continue;
            }
        };
        let better = best.as_ref().is_none_or(|(_, known)| better(scene.tables(), &chosen, known));
        if better {
            best = Some((part, chosen));
        }
    }
    let (without, plan) = match best {
        Some((without, chosen)) => (without, scene.alternative(chosen)?),
        None if undecided => (used[0], Alternative::Undecided),
        None => (used[0], cheapest(scene, &short)?),
    };
    Ok(Some(OtherPlan::OtherParts { without, plan }))
}

/// Why there is no plan without one or another of these parts: what the cheapest of them costs, if that is why.
fn cheapest(scene: &Scene<'_, '_>, parts: &[usize]) -> Result<Alternative, PlanError> {
    let mut least: Option<Option<i64>> = None;
    for &part in parts {
        if let Alternative::TooDear { least: own } = scene.none(Asked { leave_out: Some(part), ..Asked::default() })? {
            least = Some(least.map_or(own, |known| known.zip(own).map(|(known, own)| known.min(own))));
        }
    }
    Ok(least.map_or(Alternative::NoPlan, |least| Alternative::TooDear { least }))
}

/// Whether `a` is better than `b` by the criteria in order.
fn better(tables: &Tables, a: &Chosen, b: &Chosen) -> bool {
    let directed = |chosen: &Chosen| -> Vec<i128> {
        tables.ranks.iter().zip(&chosen.values).map(|(rank, value)| rank.loss(*value)).collect()
    };
    directed(a) < directed(b)
}

/// Among the plans as good by the aim itself, one that moves fewest parts, when it moves fewer
/// than the plan does.
fn fewer_moves(scene: &Scene<'_, '_>) -> Result<Option<OtherPlan>, PlanError> {
    if !scene.question().knows_where_parts_stand() {
        return Ok(None);
    }
    let mut tables = scene.tables().clone().giving_what_it_may(scene.question())?;
    let moved = tables.with_moves(scene.frame())?;
    tables.ranks.insert(tables.before + 1, Rank::least(moved, Measure::Total));
    let answer = tables.answer(&tables.problem()?)?.at(scene.chosen.setting, &scene.chosen.seconds);
    let Some(chosen) = answer.chosen() else { return Ok(None) };
    let pairs: Vec<Pair> = pairs(&chosen.parts);
    let (fewest, plan_moves) = (moves(scene.frame(), &pairs), scene.plan.moves.unwrap_or(0));
    if fewest >= plan_moves {
        return Ok(None);
    }
    let plan = scene.alternative(chosen)?;
    Ok(Some(OtherPlan::FewestMoves { moves: fewest, plan_moves, plan }))
}
