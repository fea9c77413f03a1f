//! What ends a search early. The world comes in from outside: this crate owns no clock.

use std::fmt;
use std::sync::atomic::{AtomicBool, Ordering};

/// What a search may spend, and who may end it.
///
/// Only `nodes` gives the same answer on every machine; the other two end a search wherever it happens to be.
#[derive(Clone, Copy)]
pub struct Budget<'b> {
    /// How many partial plans may be looked at.
    pub nodes: u64,
    /// Asked every so often: whether the time is up.
    pub expired: Option<&'b dyn Fn() -> bool>,
    /// Raised by somebody else to end the search.
    pub stop: Option<&'b AtomicBool>,
    /// Told of every better choice and every better bound.
    pub progress: Option<&'b dyn Fn(Progress)>,
}

impl Budget<'_> {
    /// So many partial plans and nothing else.
    pub const fn nodes(nodes: u64) -> Self {
        Self { nodes, expired: None, stop: None, progress: None }
    }

    pub(crate) fn is_ended(&self) -> Option<Stop> {
        if self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed)) {
            return Some(Stop::Asked);
        }
        self.expired.is_some_and(|expired| expired()).then_some(Stop::Expired)
    }
}

impl Default for Budget<'_> {
    /// No limit at all.
    fn default() -> Self {
        Self::nodes(u64::MAX)
    }
}

impl fmt::Debug for Budget<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Budget").field("nodes", &self.nodes).finish_non_exhaustive()
    }
}

/// How far a search is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Partial plans looked at so far.
    pub nodes: u64,
    /// The aim's value of the best choice so far.
    pub best: Option<i128>,
    /// No choice has a smaller value.
    pub bound: i128,
}

/// Why a search ended before its proof.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Stop {
    /// [`Budget::nodes`] were looked at.
    Nodes,
    /// [`Budget::expired`] said so.
    Expired,
    /// [`Budget::stop`] was raised.
    Asked,
}
