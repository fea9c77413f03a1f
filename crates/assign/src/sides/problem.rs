//! A problem with side conditions.

use crate::problem::Problem;
use pairwright_proof::{Item, Shape, Sides, Slot};

/// A [`Problem`] whose choices also have to keep side conditions.
///
/// ```
/// use pairwright_assign::sides::{SidedOutcome, SidedProblem, solve_sided};
/// use pairwright_assign::{Criterion, Item, Measure, Neighbour, Problem, Sense, Shape, Sides, Slot, Table};
///
/// // Three slots in a row, three items; what a slot and an item bring adds up.
/// let (slots, items) = ([0, 6, 1], [0, 2, 9]);
/// let table = Table::from_fn(Shape { slots: 3, items: 3 }, |slot, item| {
///     Some(slots[slot.index()] + items[item.index()])
/// })?;
/// let even = Criterion { table: &table, measure: Measure::Spread, sense: Sense::Least, slack: 0 };
/// let problem = Problem::new(vec![even], vec![])?;
///
/// // Without sides: 9, 6 and 3, a spread of 6. The second and the third slot may differ by 2 at most:
/// // 2, 6 and 10 will not do, nor 9, 6 and 3; 0, 8 and 10 will.
/// let neighbours = vec![Neighbour { one: Slot::new(1), other: Slot::new(2), table: &table, most: 2 }];
/// let sided = SidedProblem::new(problem, Sides { neighbours, ..Sides::default() })?;
/// let SidedOutcome::Proven(best) = solve_sided(&sided) else { panic!("three slots are soon searched") };
/// assert_eq!(best.choice.items(), [0, 1, 2].map(Item::new));
/// assert_eq!(best.values, [10]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct SidedProblem<'t> {
    problem: Problem<'t>,
    sides: Sides<'t>,
}

/// Why side conditions do not fit a problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum SidesError {
    /// A table of another shape than the problem's.
    #[error("a table of {} slots and {} items stands beside one of {} and {}", found.slots, found.items, expected.slots, expected.items)]
    Shapes {
        /// The shape of the problem.
        expected: Shape,
        /// The shape that differs.
        found: Shape,
    },
    /// A condition names a slot that is not there.
    #[error("there is no slot {slot} among {slots}")]
    NoSlot {
        /// The slot named.
        slot: Slot,
        /// How many there are.
        slots: usize,
    },
    /// A condition names an item that is not there.
    #[error("there is no item {item} among {items}")]
    NoItem {
        /// The item named.
        item: Item,
        /// How many there are.
        items: usize,
    },
}

impl<'t> SidedProblem<'t> {
    /// A problem with these side conditions. [`Problem::with_effort`] says how many partial plans each search may look
    /// at.
    ///
    /// # Errors
    /// [`SidesError`] if a condition names another shape, or a slot or an item that the problem does not have.
    /// Conditions that contradict each other are no error: they are a problem without an answer.
    pub fn new(problem: Problem<'t>, sides: Sides<'t>) -> Result<Self, SidesError> {
        let expected = problem.shape();
        if let Some(other) = sides.tables().find(|table| table.shape() != expected) {
            return Err(SidesError::Shapes { expected, found: other.shape() });
        }
        let Shape { slots, items } = expected;
        let mut named_slots = sides.neighbours.iter().flat_map(|neighbour| [neighbour.one, neighbour.other]);
        if let Some(slot) = named_slots.find(|slot| slot.index() >= slots) {
            return Err(SidesError::NoSlot { slot, slots });
        }
        let of_sets = sides.together.iter().chain(&sides.exclusive).flatten().copied();
        let of_pairs = sides.along.iter().flat_map(|pair| [pair.item, pair.with]);
        if let Some(item) = of_sets.chain(of_pairs).find(|item: &Item| item.index() >= items) {
            return Err(SidesError::NoItem { item, items });
        }
        Ok(Self { problem, sides })
    }

    /// The same problem, with so many partial plans for each search.
    #[must_use]
    pub fn with_effort(mut self, partial_plans: u64) -> Self {
        self.problem = self.problem.with_effort(partial_plans);
        self
    }

    /// The problem without its side conditions.
    pub fn problem(&self) -> &Problem<'t> {
        &self.problem
    }

    /// The side conditions.
    pub fn sides(&self) -> &Sides<'t> {
        &self.sides
    }
}
