//! What comes out of a joint problem.

use super::budget::Stop;
use crate::Shortage;
use pairwright_proof::{JointChoice, Side};

/// The answer to a [`JointProblem`](crate::JointProblem).
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum JointOutcome {
    /// No choice has a smaller value of the aim.
    Proven(JointSolution),
    /// A choice that keeps every rule; a better one may exist.
    BestFound {
        /// The choice.
        solution: JointSolution,
        /// No choice has a smaller value of the aim than this.
        bound: i128,
        /// Why the search ended.
        stop: Stop,
    },
    /// The search ended before any choice was found, or it was known that there is none.
    NothingFound {
        /// No choice has a smaller value of the aim than this.
        bound: i128,
        /// Why the search ended.
        stop: Stop,
    },
    /// No choice keeps the rules.
    Impossible(JointShortage),
}

impl JointOutcome {
    /// The choice and its values, if there is one.
    pub fn solution(&self) -> Option<&JointSolution> {
        match self {
            Self::Proven(solution) | Self::BestFound { solution, .. } => Some(solution),
            Self::NothingFound { .. } | Self::Impossible(_) => None,
        }
    }
}

/// A joint choice and what it is worth.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JointSolution {
    /// Outer choice and items.
    pub choice: JointChoice,
    /// The value of the aim.
    pub value: i128,
    /// n·Σ v² − (Σ v)² over n slots, by which choices of equal value are told apart.
    pub squares: i128,
    /// How far ties were settled.
    pub ties: Ties,
}

/// How far ties between choices of the same value of the aim were settled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ties {
    /// Of all choices with the best value of the aim this one has the least `squares`, and of those it is the first by
    /// outer choice, then by the items of the first kind in slot order, then by those of the second.
    Settled,
    /// Of all choices with the best value of the aim this one has the least `squares`; of those it is the first met, of
    /// very many.
    Squares,
    /// Nothing is known but the value of the aim.
    Open,
}

/// Why there is no joint choice.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum JointShortage {
    /// One kind does not suffice by itself.
    Kind {
        /// Which kind.
        side: Side,
        /// Its slots and items.
        shortage: Shortage,
    },
    /// Each kind suffices by itself, not both together; found by looking at everything, and to be proven by
    /// [`prove_joint_impossible`](crate::prove_joint_impossible).
    Together,
}
