//! What ends a search early. The world comes in from outside: this crate owns no clock.

use std::fmt;
use std::sync::atomic::{AtomicBool, Ordering};

/// What a solve may spend, and who may end it.
///
/// Only `nodes` gives the same answer on every machine; the other two end a solve wherever it happens to be. What a
/// node is depends on the call: a partial plan of a search; a part of the problem that one exact method is asked about,
/// and every level of a chain has at least one of those; a step down where slots take several items.
///
/// ```
/// use pairwright_assign::{Budget, Progress};
/// use std::cell::RefCell;
/// use std::sync::atomic::AtomicBool;
/// use std::time::{Duration, Instant};
///
/// let start = Instant::now();
/// let late = || start.elapsed() > Duration::from_secs(2);
/// let (stop, told) = (AtomicBool::new(false), RefCell::new(Vec::<Progress>::new()));
/// let tell = |progress| told.borrow_mut().push(progress);
/// let budget = Budget { nodes: 1_000_000, expired: Some(&late), stop: Some(&stop), progress: Some(&tell) };
/// assert_eq!(format!("{budget:?}"), "Budget { nodes: 1000000, .. }");
/// ```
#[derive(Clone, Copy)]
pub struct Budget<'b> {
    /// How many nodes may be looked at; 0 ends a solve before it has begun.
    pub nodes: u64,
    /// Asked every so often: whether the time is up.
    pub expired: Option<&'b dyn Fn() -> bool>,
    /// Raised by somebody else to end the search.
    pub stop: Option<&'b AtomicBool>,
    /// Told of every better choice and every better bound.
    pub progress: Option<&'b dyn Fn(Progress)>,
}

impl Budget<'_> {
    /// So many nodes and nothing else.
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
    /// Nodes looked at so far.
    pub nodes: u64,
    /// Place in the chain of the criterion that is worked at; 0 where there is only one.
    pub criterion: usize,
    /// The criterion's value of the best choice so far.
    pub best: Option<i128>,
    /// No choice that is within the slacks of the criteria before has a better value.
    pub bound: i128,
}

/// Why a search ended before its proof.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Stop {
    /// So many nodes as [`Budget::nodes`] allows were looked at.
    Nodes,
    /// [`Budget::expired`] said so.
    Expired,
    /// [`Budget::stop`] was raised.
    Asked,
}
