//! The proof of an answer about bundles, as the checker reads it.

mod node;
mod prices;
mod stretches;
mod tree;

use super::decide::Effort;
use super::field::Chosen;
use super::problem::SeveralProblem;
use crate::budget::Budget;
use crate::outcome::Reason;
use crate::watch::Watch;
use node::{Ground, Rule};
use pairwright_proof::{Measure, Sense, SeveralProof};

/// Why there is no proof.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Unproven {
    /// The value is none that an arrangement can have, or too large to calculate with.
    #[error("no arrangement has this value")]
    Value,
    /// The effort or the budget ended before the proof did.
    #[error("the proof was not finished: {0:?}")]
    Unfinished(Reason),
    /// The proof would take more than [`SeveralProof::MOST_NUMBERS`] numbers, or hold more than
    /// [`SeveralProof::MOST_HELD`] servings.
    #[error("the proof would be too long")]
    TooLong,
    /// Only the value was asked for.
    #[error("no proof was asked for")]
    NotWanted,
    /// Squares about the mean among arrangements of a limited spread.
    #[error("no proof speaks of squares and a spread at once")]
    SpreadToo,
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
/// Every branch costs a few looks at the bundles that it comes from, counted against the problem's effort and the budget;
/// exponential in the number of slots at worst.
///
/// # Errors
/// [`Unproven`] for a value that is not the best one, when the effort or the budget ends, or when the proof would be too long.
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
/// let SeveralOutcome::Proven { arrangement: best, proof, .. } = solve_several(&problem) else { panic!("few bundles") };
/// assert_eq!(prove_several(&problem, best.value, &Budget::default()), Ok(proof.clone()));
/// let asked = (Measure::Spread, Sense::Least);
/// assert_eq!(check_several_proof(pile, &worth, asked, &best.bundles, best.value, &proof), Ok(()));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn prove_several(problem: &SeveralProblem<'_>, value: i128, budget: &Budget<'_>) -> Result<SeveralProof, Unproven> {
    let watch = Watch::over(budget);
    none_better(problem, value, &mut Effort { left: problem.effort, watch: &watch }, &mut None)
}

/// A proof that there is no arrangement at all, for
/// [`check_several_impossible`](pairwright_proof::check_several_impossible). Works as [`prove_several`].
///
/// # Errors
/// [`Unproven`] if there is an arrangement, when the effort or the budget ends, or when the proof would be too long.
pub fn prove_several_impossible(problem: &SeveralProblem<'_>, budget: &Budget<'_>) -> Result<SeveralProof, Unproven> {
    none(problem, &Watch::over(budget))
}

/// Why nothing is better than `value`; leaves what is in `met`, if it meets that.
pub(super) fn none_better(
    problem: &SeveralProblem<'_>,
    value: i128,
    effort: &mut Effort<'_>,
    met: &mut Option<Chosen>,
) -> Result<SeveralProof, Unproven> {
    let is_never_below_zero = !matches!(problem.measure, Measure::Total | Measure::Greatest | Measure::Least);
    if (value == 0 && is_never_below_zero) || problem.pile.slots == 0 {
        return Ok(SeveralProof::default());
    }
    let score = if problem.sense == Sense::Least { Some(value) } else { value.checked_neg() };
    let better = score.and_then(|score| score.checked_sub(1)).ok_or(Unproven::Value)?;
    if better.unsigned_abs() > Rule::LARGEST || (better < 0 && is_never_below_zero) {
        return Err(Unproven::Value);
    }
    let mut ground = Ground::of(problem);
    ground.limit(problem.measure, problem.sense, better);
    tree::refute(&ground, effort, met)
}

pub(super) fn none(problem: &SeveralProblem<'_>, watch: &Watch<'_>) -> Result<SeveralProof, Unproven> {
    tree::refute(&Ground::of(problem), &mut Effort { left: problem.effort, watch }, &mut None)
}
