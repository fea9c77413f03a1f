//! The proof of an answer about bundles, as the checker reads it.

mod node;
mod prices;
mod stretches;
mod tree;

use super::problem::SeveralProblem;
use crate::budget::{Budget, Stop};
use crate::watch::Watch;
use node::{Ground, Rule};
use pairwright_proof::{Measure, Sense, SeveralProof};

/// Why there is no proof.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NoProof {
    /// The value is none that an arrangement can have, or too large to calculate with.
    #[error("no arrangement has this value")]
    Value,
    /// The budget ended before the proof did.
    #[error("the proof was not finished: {0:?}")]
    Stopped(Stop),
    /// The proof would take more than [`SeveralProof::MOST_NUMBERS`] numbers.
    #[error("the proof would be too long")]
    TooLong,
    /// There is a better arrangement than the one claimed, or there is one where there should be none.
    #[error("there is such an arrangement")]
    NotBest,
}

/// A proof that no arrangement is better than `value`, for
/// [`check_several_proof`](pairwright_proof::check_several_proof).
///
/// Made anew from the problem and the value alone. A spread is divided by its greatest value, squares about a mean that is
/// not known beforehand by the sum of the values; then a tree tries the slot with the fewest bundles left, one after the
/// other, and where all items are used an item in the slots that may have it. What a branch costs at least is known from
/// prices of the items, which follow the items that the cheapest bundles use too often or not at all (subgradient steps;
/// Held, Wolfe & Crowder, Math. Program. 6 (1974), from memory). For a total of values that add up item by item they are
/// those of the assignment itself, and the proof is one step.
///
/// Every node of the tree costs one look at its bundles and is counted against the budget; exponential in the number of
/// slots at worst.
///
/// # Errors
/// [`NoProof`] for a value that is not the best one, when the budget ends, or when the proof would be too long.
///
/// # Examples
/// ```
/// use pairwright_assign::several::{SeveralOutcome, SeveralProblem, prove_several, solve_several};
/// use pairwright_assign::{Budget, Measure, Pile, Roles, Sense, Shape, Table, Worth};
/// use pairwright_proof::check_several_proof;
///
/// let items = [1, 3, 4, 8, 9];
/// let table = Table::from_fn(Shape { slots: 2, items: 5 }, |_, item| Some(items[item.index()]))?;
/// let (pile, worth) = (
///     Pile { slots: 2, items: 5, each: 2, roles: Roles::Alike },
///     Worth::Sum { base: &[0, 2], table: &table },
/// );
/// let problem = SeveralProblem::new(pile, &worth, Measure::Spread, Sense::Least)?;
/// let SeveralOutcome::Proven(best) = solve_several(&problem) else { panic!("few bundles") };
/// let proof = prove_several(&problem, best.value, &Budget::default())?;
/// let asked = (Measure::Spread, Sense::Least);
/// assert_eq!(check_several_proof(pile, &worth, asked, &best.bundles, best.value, &proof), Ok(()));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn prove_several(problem: &SeveralProblem<'_>, value: i128, budget: &Budget<'_>) -> Result<SeveralProof, NoProof> {
    let is_never_below_zero = !matches!(problem.measure, Measure::Total | Measure::Greatest | Measure::Least);
    if (value == 0 && is_never_below_zero) || problem.pile.slots == 0 {
        return Ok(SeveralProof::default());
    }
    let score = if problem.sense == Sense::Least { Some(value) } else { value.checked_neg() };
    let better = score.and_then(|score| score.checked_sub(1)).ok_or(NoProof::Value)?;
    if better.unsigned_abs() > Rule::LARGEST || (better < 0 && is_never_below_zero) {
        return Err(NoProof::Value);
    }
    let mut ground = Ground::of(problem);
    ground.limit(problem.measure, problem.sense, better);
    tree::refute(&ground, &Watch::over(budget))
}

/// A proof that there is no arrangement at all, for
/// [`check_several_impossible`](pairwright_proof::check_several_impossible). Works as [`prove_several`].
///
/// # Errors
/// [`NoProof`] if there is an arrangement, when the budget ends, or when the proof would be too long.
pub fn prove_several_impossible(problem: &SeveralProblem<'_>, budget: &Budget<'_>) -> Result<SeveralProof, NoProof> {
    tree::refute(&Ground::of(problem), &Watch::over(budget))
}
