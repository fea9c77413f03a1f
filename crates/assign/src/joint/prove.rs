//! The proof of a joint answer, as the checker reads it.

mod scope;
mod segments;
mod stretches;
mod tree;

use super::budget::{Budget, Stop};
use super::ground::Ground;
use super::meter::Meter;
use super::problem::{JointAim, JointError, JointProblem};
use pairwright_proof::{JointProof, Outer, OuterProof, Scale, Table};
use segments::Windows;
use stretches::Stretches;

/// Why there is no proof.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NoProof {
    /// The value is none that a choice can have, or too large to calculate with; or an item was brought in.
    #[error("no proof covers this value of the aim, or an item that has to be used")]
    Aim,
    /// The budget ended before the proof did.
    #[error("the proof was not finished: {0:?}")]
    Stopped(Stop),
    /// A tree would have more than [`JointProof::MOST_STEPS`] steps.
    #[error("the proof would have more than {} steps", JointProof::MOST_STEPS)]
    Long,
    /// There is a better choice than the one claimed.
    #[error("there is a better choice")]
    NotBest,
    /// The problem cannot be asked at all.
    #[error("the problem cannot be solved")]
    Problem(#[from] JointError),
}

/// A proof that no choice has a smaller value of the aim than `value`, for
/// [`verify_joint`](pairwright_proof::verify_joint).
///
/// Made anew from the problem and the value alone, in the language of the checker: neighbouring windows closed
/// together where a slot stays empty or the known total is missed, else a tree that places one item of one kind at a time
/// until some slots have too few items (Hall 1935). Totals and squares have no windows: a tree is closed, and triples are
/// taken out of it, where the least costs of the slots come to too much (Land and Doig 1960), squares about an unknown
/// mean for one stretch of sums after the other, each halved while it is long and not closed at once. Takes about as long as the
/// search's last pass, exponential in the number of slots at worst; the nodes of its trees are counted against the budget.
///
/// # Errors
/// [`NoProof`] for values that are not the least, where a proof would be too long, or when the budget ends.
pub fn prove_joint(problem: &JointProblem<'_>, value: i128, budget: &Budget<'_>) -> Result<JointProof, NoProof> {
    let aim = problem.aim();
    if problem.brought_in().is_some() {
        return Err(NoProof::Aim);
    }
    if value == 0 && aim != JointAim::Total {
        return Ok(JointProof { outers: Vec::new() });
    }
    if problem.statement().slots() == 0 {
        // Nothing is chosen, and nothing but 0 is what that is worth.
        return Err(NoProof::NotBest);
    }
    let below = value.checked_sub(1).filter(|&below| below >= 0 || aim == JointAim::Total).ok_or(NoProof::Aim)?;
    let ground = Ground::new(problem);
    let mut meter = Meter::new(budget);
    let mut outers = Vec::new();
    let mut steps = 0;
    for (number, offsets) in (0..).zip(problem.statement().offsets) {
        let outer = Outer::new(number);
        if let Err(at) = ground.outers.binary_search(&outer) {
            let before = &ground.outers[..at];
            let like = |other: &&Outer| is_like(problem, offsets, **other);
            let other = before.iter().find(like).ok_or(NoProof::NotBest)?;
            outers.push(OuterProof::Like(*other));
            continue;
        }
        let width = || i64::try_from(below).map_err(|_| NoProof::Aim);
        let segments = match aim {
            JointAim::Spread => Windows::new(&ground, outer, width()?)?.below_every_top(&mut meter),
            JointAim::WorstFrom { target } => Windows::new(&ground, outer, width()?)?.around(target, &mut meter),
            JointAim::SquaresFrom { .. } | JointAim::SquaresAboutMean | JointAim::Total => {
                Stretches::new(&ground, outer, aim, value)?.segments(&mut meter)
            }
        };
        let segments = segments?;
        steps += segments.iter().map(|segment| segment.steps.len()).sum::<usize>();
        if steps > JointProof::MOST_STEPS {
            return Err(NoProof::Long);
        }
        outers.push(OuterProof::Windows(segments));
    }
    Ok(JointProof { outers })
}

fn is_like(problem: &JointProblem<'_>, offsets: &[i64], other: Outer) -> bool {
    let statement = problem.statement();
    let mut apart = offsets.iter().zip(&statement.offsets[other.index()]).map(|(one, other)| one - other);
    let first = apart.next().unwrap_or(0);
    let may_shift =
        matches!(problem.aim(), JointAim::Spread | JointAim::SquaresAboutMean) && matches!(statement.scale, Scale::Sum);
    (first == 0 || may_shift) && apart.all(|next| next == first)
}

/// The total that the checker derives too: it asks for tables without forbidden pairs.
fn known_total(ground: &Ground<'_>, outer: Outer) -> Option<i128> {
    let statement = ground.statement;
    let is_whole = |table: &Table| table.slots().all(|slot| !table.row(slot).contains(&Table::FORBIDDEN));
    let is_plain = matches!(statement.scale, Scale::Sum) && is_whole(statement.first) && is_whole(statement.second);
    ground.total(outer).filter(|_| is_plain)
}
