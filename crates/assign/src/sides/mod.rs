//! Side conditions on one solve: limits on neighbours and on totals, items that go together or exclude each other.
//!
//! The conditions make the problem hard in general (two totals at once hold the knapsack problem), so everything here is
//! branch and bound: the methods for the problem without its sides bound and sieve what is still open, the sides are
//! carried through it as far as they go, and a slot is tried with each item it has left. Least spread, worst deviation
//! and the like are thresholds, which a search decides one by one; sums and squares are searched lowest bound first.
//!
//! # References
//! - A. K. Mackworth, *Consistency in networks of relations*, Artif. Intell. 8 (1977): the sieve for neighbours.
//! - A. H. Land and A. G. Doig, *An automatic method of solving discrete programming problems*, Econometrica 28
//!   (1960): branch and bound.

mod chain;
mod conflict;
mod items;
mod outcome;
mod prices;
mod problem;
mod prove;
mod quotient;
mod rules;
mod search;
mod settle;
mod window;

pub use chain::{solve_sided, solve_sided_within};
pub use outcome::{Conflict, Side, SidedOutcome, Standstill};
pub use problem::{SidedProblem, SidesError};
pub use prove::solve_sided_with_proof;
#[cfg(feature = "program")]
pub(crate) use rules::{Limit, Part, Rules};
