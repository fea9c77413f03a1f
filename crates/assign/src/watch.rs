//! What is left of a budget, shared by everything that works for one call.

use crate::budget::{Budget, Progress, Stop};
use std::cell::Cell;

/// Counts nodes, and remembers that the budget ended.
///
/// A method that is ended early gives whatever it has (perhaps nothing); its caller asks [`Self::stopped`] before it
/// takes that for the whole truth.
#[derive(Debug)]
pub(crate) struct Watch<'b> {
    budget: Budget<'b>,
    spent: Cell<u64>,
    stop: Cell<Option<Stop>>,
}

impl<'b> Watch<'b> {
    pub(crate) fn over(budget: &Budget<'b>) -> Self {
        Self { budget: *budget, spent: Cell::new(0), stop: Cell::new(None) }
    }

    /// Never ends anything.
    pub(crate) fn unlimited() -> Self {
        Self::over(&Budget::default())
    }

    /// Whether the budget can end at all.
    pub(crate) fn is_limited(&self) -> bool {
        self.budget.nodes < u64::MAX || self.budget.expired.is_some() || self.budget.stop.is_some()
    }

    /// Spends one node; false when the call has to end.
    pub(crate) fn spend(&self) -> bool {
        if self.stop.get().is_none() && self.spent.get() >= self.budget.nodes {
            self.stop.set(Some(Stop::Nodes));
        }
        let goes_on = self.goes_on();
        self.spent.set(self.spent.get().saturating_add(u64::from(goes_on)));
        goes_on
    }

    /// Asks the flag and the clock; false when the call has to end.
    pub(crate) fn goes_on(&self) -> bool {
        if self.stop.get().is_none() {
            self.stop.set(self.budget.is_ended());
        }
        self.stop.get().is_none()
    }

    pub(crate) fn stopped(&self) -> Option<Stop> {
        self.stop.get()
    }

    /// Tells whoever wants to know how far a criterion is.
    pub(crate) fn tell(&self, criterion: usize, best: Option<i128>, bound: i128) {
        if let Some(progress) = self.budget.progress {
            progress(Progress { nodes: self.spent.get(), criterion, best, bound });
        }
    }
}
