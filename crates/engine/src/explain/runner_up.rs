//! The next best part for every position.

use super::{RunnerUp, Scene};
use crate::plan::{Asked, PlanError};

/// For every position the best plan that puts another part there: a part like the chosen one where
/// there is a spare one, else a re-solve.
pub(super) fn runners_up(scene: &Scene<'_, '_>) -> Result<Vec<RunnerUp>, PlanError> {
    if !scene.question().beside().is_empty() {
        return (0..scene.chosen.parts.len()).map(|position| other_bundle(scene, position)).collect();
    }
    let used = &scene.chosen.parts;
    let without = |(position, &part): (usize, &usize)| -> Result<RunnerUp, PlanError> {
        let spare = if scene.is_type(part) { None } else { scene.tables().spare_like(part, used) };
        if let Some(spare) = spare {
            return Ok(RunnerUp { position, plan: scene.exchanged(part, spare) });
        }
        let asked = Asked { forbid: Some((position, part)), ..Asked::default() };
        Ok(RunnerUp { position, plan: scene.answered(asked)? })
    };
    scene.chosen.parts.iter().enumerate().map(without).collect()
}

/// The best plan that puts other parts there, one of them at least, where a position takes several of one kind.
fn other_bundle(scene: &Scene<'_, '_>, position: usize) -> Result<RunnerUp, PlanError> {
    let parts = scene.parts_at(position);
    let asked = Asked { instead: Some((position, &parts)), ..Asked::default() };
    Ok(RunnerUp { position, plan: scene.answered(asked)? })
}
