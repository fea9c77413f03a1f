//! A problem: a chain of criteria, windows, and small changes.

use pairwright_proof::{Changes, Criterion, Item, Measure, Shape, Slot, Statement, Table, Window};

/// What to solve: every slot gets one item, no item twice, best by a chain of criteria.
///
/// The first criterion is taken to its best value; among the choices within its slack of that value the second
/// one is taken to its best, and so on; the last tie goes to the lexicographically smallest vector of items in slot
/// order. Every window's spread is held. A pair is allowed when every table named allows it.
///
/// Cloning a problem and changing the clone copies no table.
#[derive(Clone, Debug)]
pub struct Problem<'t> {
    criteria: Vec<Criterion<'t>>,
    windows: Vec<Window<'t>>,
    changes: Changes,
    shape: Shape,
    effort: u64,
}

/// Why criteria, windows and changes do not make a problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ProblemError {
    /// Neither a criterion nor a window names a table.
    #[error("no table is named")]
    NoTable,
    /// Two tables of different shapes.
    #[error("a table of {} slots and {} items stands beside one of {} and {}", found.slots, found.items, expected.slots, expected.items)]
    Shapes {
        /// The shape of the first table.
        expected: Shape,
        /// The shape that differs.
        found: Shape,
    },
    /// A slack below 0.
    #[error("the slack {slack} of criterion {criterion} is negative")]
    Slack {
        /// Its place in the chain.
        criterion: usize,
        /// The slack given.
        slack: i64,
    },
    /// A target beyond what a table's values may be.
    #[error("the target {target} of criterion {criterion} is outside ±{}", Table::LIMIT)]
    Target {
        /// Its place in the chain.
        criterion: usize,
        /// The target given, in ticks.
        target: i64,
    },
    /// A change names a slot that is not there.
    #[error("there is no slot {slot} among {slots}")]
    NoSlot {
        /// The slot named.
        slot: Slot,
        /// How many there are.
        slots: usize,
    },
    /// A change names an item that is not there.
    #[error("there is no item {item} among {items}")]
    NoItem {
        /// The item named.
        item: Item,
        /// How many there are.
        items: usize,
    },
}

impl<'t> Problem<'t> {
    /// How many partial plans the search may look at by default.
    pub const USUAL_EFFORT: u64 = 20_000;

    /// A problem without changes.
    ///
    /// # Errors
    /// [`ProblemError`] if no table is named, tables differ in shape, a slack is negative or a target is beyond
    /// [`Table::LIMIT`]. A negative window is no error: it is a problem without an answer.
    pub fn new(criteria: Vec<Criterion<'t>>, windows: Vec<Window<'t>>) -> Result<Self, ProblemError> {
        let of_criteria = criteria.iter().map(|criterion| criterion.table);
        let mut tables = of_criteria.chain(windows.iter().map(|window| window.table));
        let shape = tables.next().ok_or(ProblemError::NoTable)?.shape();
        if let Some(other) = tables.find(|table| table.shape() != shape) {
            return Err(ProblemError::Shapes { expected: shape, found: other.shape() });
        }
        for (criterion, asked) in criteria.iter().enumerate() {
            check_criterion(criterion, asked)?;
        }
        Ok(Self { criteria, windows, changes: Changes::default(), shape, effort: Self::USUAL_EFFORT })
    }

    /// The same problem, with this pair chosen whatever it costs.
    ///
    /// # Errors
    /// [`ProblemError`] if there is no such slot or item.
    pub fn force(mut self, slot: Slot, item: Item) -> Result<Self, ProblemError> {
        self.changes.forced.push((self.known_slot(slot)?, self.known_item(item)?));
        Ok(self)
    }

    /// The same problem without this pair.
    ///
    /// # Errors
    /// [`ProblemError`] if there is no such slot or item.
    pub fn forbid(mut self, slot: Slot, item: Item) -> Result<Self, ProblemError> {
        self.changes.forbidden.push((self.known_slot(slot)?, self.known_item(item)?));
        Ok(self)
    }

    /// The same problem without this item.
    ///
    /// # Errors
    /// [`ProblemError`] if there is no such item.
    pub fn leave_out(mut self, item: Item) -> Result<Self, ProblemError> {
        self.changes.left_out.push(self.known_item(item)?);
        Ok(self)
    }

    /// The same problem, with this item used in whichever slot.
    ///
    /// # Errors
    /// [`ProblemError`] if there is no such item.
    pub fn bring_in(mut self, item: Item) -> Result<Self, ProblemError> {
        self.changes.brought_in.push(self.known_item(item)?);
        Ok(self)
    }

    /// The same problem, with so many partial plans for the search, which only chains need that no exact method
    /// covers (see [`solve`](crate::solve)); where it ends early the outcome is
    /// [`BestFound`](crate::Outcome::BestFound).
    #[must_use]
    pub fn with_effort(mut self, partial_plans: u64) -> Self {
        self.effort = partial_plans;
        self
    }

    /// The chain, the most important criterion first.
    pub fn criteria(&self) -> &[Criterion<'t>] {
        &self.criteria
    }

    /// The windows.
    pub fn windows(&self) -> &[Window<'t>] {
        &self.windows
    }

    /// What was changed.
    pub fn changes(&self) -> &Changes {
        &self.changes
    }

    /// Number of slots and items.
    pub fn shape(&self) -> Shape {
        self.shape
    }

    /// The problem as plain data, as the checker reads it.
    pub fn statement(&self) -> Statement<'_> {
        Statement { criteria: &self.criteria, windows: &self.windows, changes: &self.changes }
    }

    pub(crate) fn effort(&self) -> u64 {
        self.effort
    }

    pub(crate) fn tables(&self) -> impl Iterator<Item = &'t Table> + '_ {
        let of_criteria = self.criteria.iter().map(|criterion| criterion.table);
        of_criteria.chain(self.windows.iter().map(|window| window.table))
    }

    /// The tables, each once.
    pub(crate) fn distinct_tables(&self) -> Vec<&'t Table> {
        let mut distinct: Vec<&'t Table> = Vec::new();
        for table in self.tables() {
            if !distinct.iter().any(|&known| std::ptr::eq(known, table)) {
                distinct.push(table);
            }
        }
        distinct
    }

    /// The same problem with these changes instead, whose slots and items are there.
    pub(crate) fn with_changes(mut self, changes: Changes) -> Self {
        self.changes = changes;
        self
    }

    /// The same problem with the chain up to a place, which gives no slack.
    pub(crate) fn up_to(&self, place: usize) -> Option<Self> {
        let (first, later) = self.criteria.split_at_checked(place + 1)?;
        let mut criteria = first.to_vec();
        criteria[place].slack = 0;
        // Tables of later levels still forbid pairs.
        let wide = |criterion: &Criterion<'t>| Window { table: criterion.table, width: i64::MAX };
        let windows = self.windows.iter().copied().chain(later.iter().map(wide)).collect();
        let shorter = Self::new(criteria, windows).ok()?;
        Some(shorter.with_changes(self.changes.clone()).with_effort(self.effort))
    }

    fn known_slot(&self, slot: Slot) -> Result<Slot, ProblemError> {
        let slots = self.shape.slots;
        if slot.index() < slots { Ok(slot) } else { Err(ProblemError::NoSlot { slot, slots }) }
    }

    fn known_item(&self, item: Item) -> Result<Item, ProblemError> {
        let items = self.shape.items;
        if item.index() < items { Ok(item) } else { Err(ProblemError::NoItem { item, items }) }
    }
}

fn check_criterion(criterion: usize, asked: &Criterion<'_>) -> Result<(), ProblemError> {
    if asked.slack < 0 {
        return Err(ProblemError::Slack { criterion, slack: asked.slack });
    }
    match asked.measure {
        Measure::WorstFrom { target } | Measure::SquaresFrom { target }
            if !(-Table::LIMIT..=Table::LIMIT).contains(&target) =>
        {
            Err(ProblemError::Target { criterion, target })
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use pairwright_proof::Sense;

    fn table(items: usize) -> Table {
        Table::from_fn(Shape { slots: 2, items }, |_, item| Some(i64::from(item.number()))).unwrap()
    }

    #[test]
    fn what_does_not_fit_together_is_refused() {
        let (small, large) = (table(2), table(3));
        let criterion = Criterion { table: &small, measure: Measure::Total, sense: Sense::Least, slack: 0 };
        let refused = |criterion, windows| Problem::new(vec![criterion], windows).unwrap_err();

        assert_eq!(Problem::new(vec![], vec![]).unwrap_err(), ProblemError::NoTable);
        assert_eq!(
            refused(criterion, vec![Window { table: &large, width: 1 }]),
            ProblemError::Shapes { expected: small.shape(), found: large.shape() }
        );
        assert_eq!(
            refused(Criterion { slack: -1, ..criterion }, vec![]),
            ProblemError::Slack { criterion: 0, slack: -1 }
        );
        let target = Table::LIMIT + 1;
        assert_eq!(
            refused(Criterion { measure: Measure::WorstFrom { target }, ..criterion }, vec![]),
            ProblemError::Target { criterion: 0, target }
        );
        let problem = Problem::new(vec![criterion], vec![]).unwrap();
        let (slot, item) = (Slot::new(2), Item::new(2));
        assert_eq!(problem.clone().force(slot, Item::new(0)).unwrap_err(), ProblemError::NoSlot { slot, slots: 2 });
        assert_eq!(problem.bring_in(item).unwrap_err(), ProblemError::NoItem { item, items: 2 });
    }
}
