//! The plan without each reading that disagrees with the others.

use super::{FlaggedOut, Scene};
use crate::plan::{PlanError, Question, Relaxed, Tables, aim_values, spread};
use crate::readings::Finding;
use crate::reduction::Reduction;

/// Reduces and plans again without each flagged reading; of a pair that disagrees, without the one
/// and without the other.
pub(super) fn flagged_out(scene: &Scene<'_, '_>) -> Result<Vec<FlaggedOut>, PlanError> {
    let Some(reduction) = scene.question.reduction else { return Ok(Vec::new()) };
    let mut out = Vec::new();
    for finding in &reduction.report().findings {
        match finding {
            Finding::Outlier { line, .. } => out.push(without(scene, *line)?),
            Finding::PairDisagrees { lines, .. } => {
                for &line in lines {
                    out.push(without(scene, line)?);
                }
            }
            // Of a contradiction between a few readings any one may be the wrong one.
            Finding::CircleDisagrees { lines, .. } if lines.len() <= FEW => {
                for &line in lines {
                    out.push(without(scene, line)?);
                }
            }
            _ => {}
        }
    }
    Ok(out)
}

/// A circle of more readings than this is named, but not taken apart.
const FEW: usize = 6;

fn without(scene: &Scene<'_, '_>, line: u32) -> Result<FlaggedOut, PlanError> {
    let question = scene.question;
    let nothing = FlaggedOut { lines: vec![line], parts: None, spread: None, changed: Vec::new() };
    let Some(deck) = &question.job.deck else { return Ok(nothing) };
    let reduction = Reduction::new(question.job, deck, &[line])?;
    let Some(again) = question.read_again(&reduction) else { return Ok(nothing) };
    let tables = Tables::settled(&again, Relaxed::default())?;
    let Some(chosen) = tables.answer(&tables.problem()?)?.chosen() else { return Ok(nothing) };
    let differs = |&position: &usize| chosen.parts[position] != scene.chosen.parts[position];
    Ok(FlaggedOut {
        lines: vec![line],
        spread: Some(spread(&aim_values(&again, &chosen.parts))),
        changed: (0..chosen.parts.len()).filter(differs).collect(),
        parts: Some(chosen.parts),
    })
}

impl<'j> Question<'j> {
    /// The same question with the readings reduced otherwise.
    fn read_again<'r>(&self, reduction: &'r Reduction) -> Option<Question<'r>>
    where
        'j: 'r,
    {
        Question::new(self.job, self.index, Some(reduction), &self.taken()).ok()
    }
}
