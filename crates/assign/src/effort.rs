//! How long a search may go on.

use crate::watch::Watch;
use std::cell::Cell;

/// How many partial plans, or parts to be divided, may still be looked at, by the problem and by the call's budget.
#[derive(Debug)]
pub(crate) struct Effort<'w> {
    left: Cell<u64>,
    watch: &'w Watch<'w>,
}

impl<'w> Effort<'w> {
    pub(crate) fn new(left: u64, watch: &'w Watch<'w>) -> Self {
        Self { left: Cell::new(left), watch }
    }

    pub(crate) fn watch(&self) -> &'w Watch<'w> {
        self.watch
    }

    /// Spends one; false when the search has to end.
    pub(crate) fn spend(&self) -> bool {
        let left = self.left.get();
        self.left.set(left.saturating_sub(1));
        left > 0 && self.watch.spend()
    }

    /// A quarter of what is left, for a first try that is not to use up everything.
    pub(crate) fn quarter(&self) -> Self {
        Self::new(self.left.get() / 4, self.watch)
    }
}
