//! The plan without each reading that disagrees with the others.

use super::{FlaggedOut, Scene};
use crate::plan::{Answer, Asked, PlanError, Question, Relaxed, Search, Setting, aim_values, spread};
use crate::readings::Finding;
use crate::reduction::Reductions;

/// Reduces and plans again without each flagged reading; of a pair that disagrees, without the one
/// and without the other.
pub(super) fn flagged_out(scene: &Scene<'_, '_>) -> Result<Vec<FlaggedOut>, PlanError> {
    let Some(reduction) = &scene.question().reductions.deck else { return Ok(Vec::new()) };
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
    let question = scene.question();
    let nothing = FlaggedOut {
        lines: vec![line],
        setting: Setting::default(),
        parts: None,
        seconds: Vec::new(),
        undecided: false,
        spread: None,
        changed: Vec::new(),
    };
    let reductions = Reductions::new(question.job, &[line])?;
    let Ok(again) = Question::new(question.job, question.index, &reductions, question.earlier) else {
        return Ok(nothing);
    };
    let search = Search::new(&again, Relaxed::default())?;
    let chosen = match search.best(Asked::default())? {
        Answer::Chosen(chosen) => chosen,
        Answer::Short(_) => return Ok(nothing),
        Answer::Undecided => return Ok(FlaggedOut { undecided: true, ..nothing }),
    };
    let layout = search.layout(&chosen)?;
    let differs = |&position: &usize| chosen.parts[position] != scene.chosen.parts[position];
    Ok(FlaggedOut {
        lines: vec![line],
        setting: layout.frame.setting.clone(),
        spread: Some(spread(&aim_values(&layout.frame, &chosen.parts))),
        changed: (0..chosen.parts.len()).filter(differs).collect(),
        parts: Some(chosen.parts),
        seconds: chosen.seconds,
        undecided: false,
    })
}
