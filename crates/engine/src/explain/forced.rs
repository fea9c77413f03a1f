//! What forcing a part left out into the engine would cost.

use super::{Alternative, Explanation, ForcedIn, Scene};
use crate::plan::{Asked, PlanError};
use crate::reduction::Pair;

/// The best plan with each part left out brought in, cheapest first. In a large pile only the
/// parts whose values come nearest to the plan's own are priced.
pub(super) fn forced_in(scene: &Scene<'_, '_>) -> Result<Vec<ForcedIn>, PlanError> {
    let mut forced = Vec::new();
    let alone = scene.question().beside().is_empty();
    for part in nearest(scene) {
        let plan = match scene.tables().used_like(part, &scene.chosen.parts).filter(|_| alone) {
            Some(like_it) => scene.exchanged(like_it, part),
            None => brought_in(scene, part)?,
        };
        forced.push(ForcedIn { part, plan });
    }
    forced.sort_by(|a, b| a.plan.cost().total_cmp(&b.plan.cost()).then(a.part.cmp(&b.part)));
    Ok(forced)
}

/// The best plan that has `part` in it.
fn brought_in(scene: &Scene<'_, '_>, part: usize) -> Result<Alternative, PlanError> {
    scene.answered(Asked { bring_in: Some(part), ..Asked::default() })
}

impl Alternative {
    /// Ticks lost to the aim first, then spread, then scatter, as one number for sorting.
    pub(super) fn cost(&self) -> f64 {
        match self {
            Self::Found { price, .. } => price.aim as f64 * 1e6 + price.spread as f64 * 1e3 + price.scatter,
            Self::NoPlan | Self::TooDear { .. } | Self::Undecided => f64::INFINITY,
        }
    }
}

/// Whether the aim's fit can be predicted for the part anywhere, `away` being those that may go somewhere.
fn known(scene: &Scene<'_, '_>, away: &[Option<u64>], part: usize) -> bool {
    let fit = scene.frame().aim_fit();
    let mut positions = 0..scene.question().positions.len();
    away[scene.tables().item(part).index()].is_some()
        || positions.any(|position| fit.value(Pair { position, part }).is_some())
}

/// The parts left out of which nothing is known.
pub(super) fn unread(scene: &Scene<'_, '_>) -> Vec<usize> {
    let away = scene.tables().away(0);
    scene.plan.left_out.iter().copied().filter(|&part| !known(scene, &away, part)).collect()
}

/// The parts left out, at most [`Explanation::MOST_FORCED`] of them: those that some position
/// brings nearest to the values of the plan, those that no limit keeps out of every position first.
fn nearest(scene: &Scene<'_, '_>) -> Vec<usize> {
    let positions = scene.question().positions.len();
    let mean = scene.plan.summary.total / i64::try_from(positions.max(1)).unwrap_or(1);
    let away = scene.tables().away(mean);
    let left_out = scene.plan.left_out.iter().copied().filter(|&part| known(scene, &away, part));
    let away = |part: usize| away[scene.tables().item(part).index()].unwrap_or(u64::MAX);
    let mut ranked: Vec<(u64, usize)> = left_out.map(|part| (away(part), part)).collect();
    if ranked.len() > Explanation::MOST_FORCED {
        ranked.select_nth_unstable(Explanation::MOST_FORCED);
        ranked.truncate(Explanation::MOST_FORCED);
    }
    ranked.into_iter().map(|(_, part)| part).collect()
}
