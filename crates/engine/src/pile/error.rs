//! What a pile cannot be asked.

use pairwright_assign::ProblemError;
use pairwright_proof::{Fault, TableError};

use crate::plan::PlanError;

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PileError {
    /// Nowhere to put a part.
    #[error("there is no position to fill")]
    NoPositions,
    /// Too few parts were measured to say what further ones are like.
    #[error("{parts} measured parts say too little of what others are like: at least {fewest} are needed")]
    TooFewParts {
        /// How many there are.
        parts: usize,
        /// How many it takes.
        fewest: usize,
    },
    /// All parts measure the same.
    #[error("all {parts} parts measure the same: more of them would change nothing that the gauge can tell")]
    AllAlike {
        /// How many there are.
        parts: usize,
    },
    /// A value that is no number, or beyond what the solver takes.
    #[error("the value {value} of part {part} is no number of ticks")]
    NoNumber {
        /// Its place in the stock.
        part: usize,
        /// The value given.
        value: f64,
    },
    /// Too few futures for an interval.
    #[error("{draws} draws are too few for an interval of 95 %: at least {fewest} are needed")]
    TooFewDraws {
        /// How many were asked for.
        draws: usize,
        /// How many it takes.
        fewest: usize,
    },
    /// The tables are too large for the solver.
    #[error("the pile is larger than the solver takes: {0}")]
    Table(#[from] TableError),
    /// The solver does not take the aim.
    #[error("the solver refused the question: {0}")]
    Problem(#[from] ProblemError),
    /// The independent checker does not accept the solver's answer.
    #[error("the checker refuses a choice: {0}")]
    Refused(#[from] Fault),
    /// The job has no such match.
    #[error("the job has no match number {index}")]
    NoMatch {
        /// The index asked for.
        index: usize,
    },
    /// The match itself cannot be planned.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// More further parts than bundles can be listed of.
    #[error(
        "where a position takes several parts of one kind, no more than {most} further ones can be looked at here: ask for fewer with --more"
    )]
    TooManyTogether {
        /// How many can.
        most: usize,
    },
}
