//! Counts what a search spends.

use super::budget::{Budget, Stop};

/// Partial plans between two looks at the clock and the flag.
const BETWEEN_LOOKS: u64 = 1 << 10;

#[derive(Debug)]
pub(crate) struct Meter<'b> {
    budget: Budget<'b>,
    spent: u64,
    next_look: u64,
    stop: Option<Stop>,
    /// Not more than this, whatever the budget says.
    cap: u64,
}

impl<'b> Meter<'b> {
    pub(crate) fn new(budget: &Budget<'b>) -> Self {
        Self { budget: *budget, spent: 0, next_look: 0, stop: None, cap: u64::MAX }
    }

    /// Spends one partial plan; false when the search has to end.
    pub(crate) fn spend(&mut self) -> bool {
        if self.spent >= self.next_look {
            self.look();
        }
        self.spent += u64::from(self.stop.is_none());
        self.stop.is_none()
    }

    /// Counts work that opens no partial plan as so many of them.
    pub(crate) fn charge(&mut self, work: u64) {
        self.spent += if self.stop.is_none() { work } else { 0 };
    }

    fn look(&mut self) {
        let end = self.budget.nodes.min(self.cap);
        self.next_look = end.min(self.spent + BETWEEN_LOOKS);
        if self.stop.is_none() {
            self.stop = if self.spent >= end { Some(Stop::Nodes) } else { self.budget.is_ended() };
        }
    }

    /// From here on not more than so many.
    pub(crate) fn cap(&mut self, more: u64) {
        self.cap = self.spent.saturating_add(more);
        self.next_look = self.spent;
    }

    pub(crate) fn stopped(&self) -> Option<Stop> {
        self.stop
    }

    pub(crate) fn spent(&self) -> u64 {
        self.spent
    }

    pub(crate) fn budget(&self) -> &Budget<'b> {
        &self.budget
    }
}
