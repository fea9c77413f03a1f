//! Several items of one kind per slot, all from one pile: every slot takes a bundle, no item twice.
//!
//! The bundles of every slot are listed with their values. A threshold (least worst deviation, …) is bisected; the least
//! spread is found by a sweep over the greatest value, whose window leaves each slot few bundles; squares about the mean
//! are swept likewise, since they bound the spread; sums go slot by slot, cheapest bundles first. Each question is answered
//! depth first, the slot with the fewest bundles left first. A total of values that add up item by item is a plain
//! assignment with each slot taken several times.
//!
//! Listing takes C(m, each) bundles a slot out of m items; the searches are exponential in the number of slots at worst.
//! The window below each greatest value is that of balanced problems (Martello, Pulleyblank, Toth & de Werra 1984), depth first
//! with bounds is branch and bound (Land & Doig 1960), and a total of sums is an assignment (Kuhn 1955).
//!
//! Exact and quick for 7 slots of 2 out of 40; where the effort ends first the outcome says so, with a bound. An outcome is
//! [`SeveralOutcome::Proven`] or [`SeveralOutcome::Impossible`] only with a proof that the checker accepts; it is made from
//! the answer alone ([`prove_several`]). The lexicographic order among equals carries none.

mod beside;
mod decide;
mod field;
mod outcome;
mod problem;
mod prove;
mod solve;
mod sums;
mod total;
mod windows;

pub use outcome::{Arrangement, SeveralOutcome, SeveralShortage, Tie};
pub use problem::{SeveralError, SeveralProblem};
pub use prove::{Unproven, prove_several, prove_several_impossible};
pub use solve::{solve_several, solve_several_within};
