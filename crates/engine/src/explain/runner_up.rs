//! The next best part for every position.

use super::{RunnerUp, Scene};
use crate::plan::{PlanError, slot};

/// For every position the best plan that puts another part there: one re-solve each.
pub(super) fn runners_up(scene: &Scene<'_, '_>) -> Result<Vec<RunnerUp>, PlanError> {
    let base = scene.tables.problem()?;
    let without = |(position, &part): (usize, &usize)| -> Result<RunnerUp, PlanError> {
        let changed = base.clone().forbid(slot(position), scene.tables.item(part))?;
        Ok(RunnerUp { position, plan: scene.alternative(scene.tables.answer(&changed)?) })
    };
    scene.chosen.parts.iter().enumerate().map(without).collect()
}
