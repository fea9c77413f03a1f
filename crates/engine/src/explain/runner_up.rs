//! The next best part for every position.

use super::{RunnerUp, Scene};
use crate::plan::{Asked, PlanError};

/// For every position the best plan that puts another part there: a part like the chosen one where
/// there is a spare one, else a re-solve.
pub(super) fn runners_up(scene: &Scene<'_, '_>) -> Result<Vec<RunnerUp>, PlanError> {
    let used = &scene.chosen.parts;
    let without = |(position, &part): (usize, &usize)| -> Result<RunnerUp, PlanError> {
        let spare = if scene.is_type(part) { None } else { scene.tables().spare_like(part, used) };
        if let Some(spare) = spare {
            return Ok(RunnerUp { position, plan: scene.exchanged(part, spare) });
        }
        let asked = Asked { forbid: Some((position, part)), ..Asked::default() };
        Ok(RunnerUp { position, plan: scene.alternative(scene.search.best(asked)?)? })
    };
    scene.chosen.parts.iter().enumerate().map(without).collect()
}
