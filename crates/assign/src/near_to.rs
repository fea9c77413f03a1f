//! The best choice that is not far from one that stands already.

use crate::budget::Budget;
use crate::problem::Problem;
use crate::sides::{SidedOutcome, SidedProblem, solve_sided_within};
use pairwright_proof::{Choice, Item, Sides, Slot, Table, TotalLimit};

/// Why it cannot be asked what is near to a choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum MovesError {
    /// It is a choice for another number of slots.
    #[error("the choice serves {found} slots, the problem has {expected}")]
    Slots {
        /// How many the problem has.
        expected: usize,
        /// How many the choice serves.
        found: usize,
    },
    /// It names an item that is not there.
    #[error("there is no item {item} among {items}")]
    NoItem {
        /// The item named.
        item: Item,
        /// How many there are.
        items: usize,
    },
}

/// The best choice by the whole chain with at most so many moves from `standing`: slots that get another item than they
/// have in it.
///
/// `standing` need not keep the rules: its pairs may be forbidden now. Two items that change places are two moves; with
/// `moves` 0 it is `standing` itself or nothing, with as many as there are slots the limit asks nothing.
///
/// Solved as a total of moves with a limit, a side condition: see [`solve_sided`](crate::sides::solve_sided()). For one
/// spread, worst or least value every threshold takes one assignment by moves (as in the sum's method, Kuhn 1955); other
/// chains are searched by branch and bound, exponential at worst, and end early as the effort of
/// [`Problem::with_effort`] or the budget says.
///
/// # Errors
/// [`MovesError`] if `standing` is no choice of the problem's slots and items.
///
/// # Examples
/// ```
/// use pairwright_assign::sides::SidedOutcome;
/// use pairwright_assign::{
///     Budget, Choice, Criterion, Item, Measure, Problem, Sense, Shape, Table, best_within_moves,
/// };
///
/// let table = Table::from_fn(Shape { slots: 3, items: 4 }, |slot, item| {
///     Some([0, 5, 9][slot.index()] + [0, 4, 10, 30][item.index()])
/// })?;
/// let even = Criterion { table: &table, measure: Measure::Spread, sense: Sense::Least, slack: 0 };
/// let problem = Problem::new(vec![even], vec![])?;
/// let standing = Choice::new([0, 1, 2].map(Item::new).to_vec());
///
/// let spread = |moves| match best_within_moves(&problem, &standing, moves, &Budget::default()) {
///     Ok(SidedOutcome::Proven(found)) => found.values[0],
///     other => panic!("{other:?}"),
/// };
/// assert_eq!([0, 1, 2].map(spread), [19, 19, 1]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[expect(clippy::missing_panics_doc, reason = "a table of 0 and 1 in the shape of another table is always one")]
pub fn best_within_moves(
    problem: &Problem<'_>,
    standing: &Choice,
    moves: usize,
    budget: &Budget<'_>,
) -> Result<SidedOutcome, MovesError> {
    let shape = problem.shape();
    if standing.items().len() != shape.slots {
        return Err(MovesError::Slots { expected: shape.slots, found: standing.items().len() });
    }
    if let Some(&item) = standing.items().iter().find(|item| item.index() >= shape.items) {
        return Err(MovesError::NoItem { item, items: shape.items });
    }
    let is_move = |slot: Slot, item: Item| Some(i64::from(standing.item(slot) != Some(item)));
    let moved = Table::from_fn(shape, is_move).expect("the shape is that of a table, and the values are 0 and 1");
    // A number of moves beyond any total asks nothing.
    let most = i128::try_from(moves).unwrap_or(i128::MAX);
    let totals = vec![TotalLimit { table: &moved, least: None, most: Some(most) }];
    let sided = SidedProblem::new(problem.clone(), Sides { totals, ..Sides::default() })
        .expect("the table of moves has the problem's shape");
    Ok(solve_sided_within(&sided, budget))
}
