//! What comes out of a solve with side conditions.

use crate::outcome::{Bound, Reason, Solution};
use pairwright_proof::Shortage;

/// The answer to a [`SidedProblem`](super::SidedProblem).
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SidedOutcome {
    /// The best choice there is, by the whole chain and down to the last tie.
    Proven(Solution),
    /// A choice that keeps every rule; a better one may exist.
    BestFound {
        /// The choice.
        solution: Solution,
        /// How much better another one could be.
        bound: Bound,
        /// Why the search ended.
        reason: Reason,
    },
    /// No choice keeps the rules.
    Impossible(Standstill),
    /// The search ended before it met a choice, and before it was known that there is none.
    Undecided {
        /// How good one could be, if there is any.
        bound: Bound,
        /// Why the search ended.
        reason: Reason,
    },
}

impl SidedOutcome {
    /// The choice and its values, if there is one.
    pub fn solution(&self) -> Option<&Solution> {
        match self {
            Self::Proven(solution) | Self::BestFound { solution, .. } => Some(solution),
            Self::Impossible(_) | Self::Undecided { .. } => None,
        }
    }
}

/// Why there is no choice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standstill {
    /// There is none even without windows and side conditions.
    Pairs(Shortage),
    /// Windows and side conditions stand in the way.
    Sides(Conflict),
}

/// Windows and side conditions that leave no choice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// These cannot all be held at once; without any one of them, the others of them could.
    pub together: Vec<Side>,
    /// Without these there is a choice that holds all the others; with any one of them put back there is none.
    pub without: Vec<Side>,
    /// Whether the two sets are known to be as small as they are said to be; a search cut short may have left
    /// something in them that could be dropped.
    pub minimal: bool,
}

/// A window or a side condition; the number is its place in its list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Side {
    /// In [`Problem::windows`](crate::Problem::windows).
    Window(usize),
    /// In [`Sides::neighbours`](crate::Sides::neighbours).
    Neighbour(usize),
    /// In [`Sides::totals`](crate::Sides::totals).
    Total(usize),
    /// In [`Sides::together`](crate::Sides::together).
    Together(usize),
    /// In [`Sides::along`](crate::Sides::along).
    Along(usize),
    /// In [`Sides::exclusive`](crate::Sides::exclusive).
    Exclusive(usize),
}
