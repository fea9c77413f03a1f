//! What comes out: a choice and how good it is known to be, or why there is none.

use crate::budget::Stop;
use pairwright_proof::{Choice, Shortage};

/// The answer to a [`Problem`](crate::Problem).
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
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
    Impossible(Shortage),
}

impl Outcome {
    /// The choice and its values, if there is one.
    pub fn solution(&self) -> Option<&Solution> {
        match self {
            Self::Proven(solution) | Self::BestFound { solution, .. } => Some(solution),
            Self::Impossible(_) => None,
        }
    }
}

/// A choice and what it is worth.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Solution {
    /// One item for every slot.
    pub choice: Choice,
    /// The value of every criterion, in chain order and in the unit of its measure.
    pub values: Vec<i128>,
}

/// What is proven where optimality is not.
///
/// The criteria before `criterion` are proven. No choice that is within their slack is better by `criterion` than
/// `value`. The criteria after it are the best found given the value reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bound {
    /// Place in the chain of the first criterion not proven; the number of criteria if only the last tie is open.
    pub criterion: usize,
    /// The best that its value could still be; for the last tie 0.
    pub value: i128,
}

/// Why a search ended before its proof.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Reason {
    /// The number of partial plans allowed by [`Problem::with_effort`](crate::Problem::with_effort) was used up.
    EffortSpent,
    /// The budget of the call ended.
    Stopped(Stop),
}

/// The budget ended before a choice was met, and before it was known that there is none.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the budget ended before a choice was found: {stop:?}")]
pub struct NothingFound {
    /// How good one could be, if there is any.
    pub bound: Bound,
    /// What ended it.
    pub stop: Stop,
}
