//! The proof of a joint answer, as the checker reads it.

mod segments;
mod tree;

use super::budget::{Budget, Stop};
use super::ground::Ground;
use super::meter::Meter;
use super::problem::{JointAim, JointError, JointProblem};
use pairwright_proof::{JointProof, Outer, OuterProof, Scale, Table};
use segments::Windows;

/// Why there is no proof.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NoProof {
    /// Proofs cover spreads and worst distances only.
    #[error("no proof covers this aim")]
    Aim,
    /// The budget ended before the proof did.
    #[error("the proof was not finished: {0:?}")]
    Stopped(Stop),
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
/// until some slots have too few items (Hall 1935). Takes about as long as the search's last pass; the nodes of its
/// trees are counted against the budget.
///
/// # Errors
/// [`NoProof`] for squares, for values that are not the least, or when the budget ends.
pub fn prove_joint(problem: &JointProblem<'_>, value: i128, budget: &Budget<'_>) -> Result<JointProof, NoProof> {
    let target = match problem.aim() {
        JointAim::Spread => None,
        JointAim::WorstFrom { target } => Some(target),
        _ => return Err(NoProof::Aim),
    };
    if problem.brought_in().is_some() {
        return Err(NoProof::Aim);
    }
    let Some(width) = i64::try_from(value.saturating_sub(1)).ok().filter(|&width| width >= 0) else {
        return if value == 0 { Ok(JointProof { outers: Vec::new() }) } else { Err(NoProof::Aim) };
    };
    let ground = Ground::new(problem);
    let mut meter = Meter::new(budget);
    let mut outers = Vec::new();
    for (number, offsets) in (0..).zip(problem.statement().offsets) {
        let outer = Outer::new(number);
        if let Err(at) = ground.outers.binary_search(&outer) {
            let before = &ground.outers[..at];
            let like = |other: &&Outer| is_like(problem, offsets, **other);
            let other = before.iter().find(like).ok_or(NoProof::NotBest)?;
            outers.push(OuterProof::Like(*other));
            continue;
        }
        let windows = Windows::new(&ground, outer, width)?;
        let segments = match target {
            None => windows.below_every_top(&mut meter),
            Some(target) => windows.around(target, &mut meter),
        };
        outers.push(OuterProof::Windows(segments?));
    }
    Ok(JointProof { outers })
}

fn is_like(problem: &JointProblem<'_>, offsets: &[i64], other: Outer) -> bool {
    let statement = problem.statement();
    let mut apart = offsets.iter().zip(&statement.offsets[other.index()]).map(|(one, other)| one - other);
    let first = apart.next().unwrap_or(0);
    let may_shift = problem.aim() == JointAim::Spread && matches!(statement.scale, Scale::Sum);
    (first == 0 || may_shift) && apart.all(|next| next == first)
}

/// The total that the checker derives too: it asks for tables without forbidden pairs.
fn known_total(ground: &Ground<'_>, outer: Outer) -> Option<i128> {
    let statement = ground.statement;
    let is_whole = |table: &Table| table.slots().all(|slot| !table.row(slot).contains(&Table::FORBIDDEN));
    let is_plain = matches!(statement.scale, Scale::Sum) && is_whole(statement.first) && is_whole(statement.second);
    ground.total(outer).filter(|_| is_plain)
}
