//! Which windows and side conditions stand in the way.
//!
//! By deletion: a condition that can go while the rest still leaves no choice is dropped from the competing set; a condition
//! that can come back while there still is a choice is dropped from the set to do without. One search for each.

use super::outcome::{Conflict, Side};
use super::problem::SidedProblem;
use super::rules::{Part, Rules};
use super::search::{Decision, decide};
use crate::effort::Effort;
use crate::watch::Watch;

/// The conflict of a problem that has choices by its pairs, but none that keeps all windows and side conditions.
pub(super) fn between(sided: &SidedProblem<'_>, part: &Part, watch: &Watch<'_>) -> Conflict {
    let all = all(sided);
    let mut minimal = true;
    let mut holds = |sides: &[Side]| {
        let rules = Rules::of(sided, |side| sides.contains(&side));
        let effort = Effort::new(sided.problem().effort(), watch);
        match decide(&rules, part.clone(), &effort) {
            Decision::Yes(_) => Some(true),
            Decision::No => Some(false),
            Decision::Unknown => {
                minimal = false;
                None
            }
        }
    };
    let mut together = all.clone();
    for side in &all {
        let others: Vec<Side> = together.iter().copied().filter(|other| other != side).collect();
        if holds(&others) == Some(false) {
            together = others;
        }
    }
    let mut kept = Vec::new();
    let mut without = Vec::new();
    for side in all {
        kept.push(side);
        if holds(&kept) != Some(true) {
            kept.pop();
            without.push(side);
        }
    }
    Conflict { together, without, minimal }
}

fn all(sided: &SidedProblem<'_>) -> Vec<Side> {
    let sides = sided.sides();
    let windows = (0..sided.problem().windows().len()).map(Side::Window);
    windows
        .chain((0..sides.neighbours.len()).map(Side::Neighbour))
        .chain((0..sides.totals.len()).map(Side::Total))
        .chain((0..sides.together.len()).map(Side::Together))
        .chain((0..sides.along.len()).map(Side::Along))
        .chain((0..sides.exclusive.len()).map(Side::Exclusive))
        .collect()
}
