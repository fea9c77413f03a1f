//! The plan without each reading, and each pour, that disagrees with the others.

use super::{Flagged, FlaggedOut, Scene};
use crate::job::FitName;
use crate::plan::{Answer, Asked, PlanError, Question, Relaxed, Search, Setting, aim_values, spread};
use crate::readings::Finding;
use crate::reduction::Reductions;

/// Reduces and plans again without each flagged reading and pour; of a pair that disagrees, without the one and
/// without the other.
pub(super) fn flagged_out(scene: &Scene<'_, '_>) -> Result<Vec<FlaggedOut>, PlanError> {
    let reductions = scene.question().reductions;
    let mut out = Vec::new();
    for line in reductions.deck.iter().flat_map(|deck| lines(&deck.report().findings)) {
        out.push(without(scene, Flagged::Reading, line)?);
    }
    if scene.question().fits().any(|fit| fit.name() == FitName::ClearanceVolume) {
        for line in reductions.chambers.iter().flat_map(|pours| lines(&pours.report().findings)) {
            out.push(without(scene, Flagged::Pour, line)?);
        }
    }
    Ok(out)
}

/// The lines to plan without, one after the other.
fn lines(findings: &[Finding]) -> Vec<u32> {
    let of = |finding: &Finding| match finding {
        Finding::Outlier { line, .. } => vec![*line],
        Finding::PairDisagrees { lines, .. } => lines.to_vec(),
        // Of a contradiction between a few readings any one may be the wrong one.
        Finding::CircleDisagrees { lines, .. } if lines.len() <= FEW => lines.clone(),
        _ => Vec::new(),
    };
    findings.iter().flat_map(of).collect()
}

/// A circle of more readings than this is named, but not taken apart.
const FEW: usize = 6;

fn without(scene: &Scene<'_, '_>, of: Flagged, line: u32) -> Result<FlaggedOut, PlanError> {
    let question = scene.question();
    let nothing = FlaggedOut {
        of,
        same_plan: false,
        lines: vec![line],
        setting: Setting::default(),
        parts: None,
        seconds: Vec::new(),
        undecided: false,
        spread: None,
        changed: Vec::new(),
    };
    let reductions = match of {
        Flagged::Reading => Reductions::without(question.job, &[line], &[])?,
        Flagged::Pour => Reductions::without(question.job, &[], &[line])?,
    };
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
    let setting = &layout.frame.setting;
    let same_plan = (setting, &chosen.parts, &chosen.seconds)
        == (&scene.frame().setting, &scene.chosen.parts, &scene.chosen.seconds);
    Ok(FlaggedOut {
        of,
        lines: vec![line],
        same_plan,
        setting: setting.clone(),
        spread: Some(spread(&aim_values(&layout.frame, &chosen.parts))),
        changed: (0..chosen.parts.len()).filter(differs).collect(),
        parts: Some(chosen.parts),
        seconds: chosen.seconds,
        undecided: false,
    })
}
