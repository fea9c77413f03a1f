//! Exact assignment in whole numbers: a table in, the best choice out.
//!
//! Slots take items, each slot one, no item twice; a pair is worth whole ticks or is forbidden. A [`Problem`] is a
//! chain of
//! [`Criterion`]s (least spread, least total, least squares, …), each with a slack it may give for the next, under
//! [`Window`]s
//! on further quantities; [`solve`] says what is best and how well that is known. No floating-point number
//! takes part: equal is equal, and an answer is the same on every machine.
//!
//! Beside [`solve`] there are
//! - [`solve_within`], the same within a [`Budget`] of nodes, time and a flag, with progress;
//! - [`solve_with_proof`]: a proof that the independent checker accepts without solving;
//! - [`any_best`], the best total with its prices and whichever choice has it: the shortest way through a large table;
//! - [`ranked`], all choices in order, lazily; [`other_items`], the best choice that leaves something else out;
//!   [`best_within_moves`], the best one near to how things stand;
//! - [`sensitivity`], what forcing or forbidding each pair adds to a sum; [`chain_prices`], the same for any chain;
//!   [`stretches`], how far single values can move while a choice stays best;
//! - [`narrowest`] of an [`Additive`] table, which is never laid out: a million slots and items and more;
//! - [`smallest_changes`]: where there is no choice, how far each single limit would have to give;
//! - [`sides`] for limits on neighbours and totals and items that go together or exclude each other, [`several`] for
//!   several items a slot, [`solve_joint`] for two kinds of items a slot, [`prove_joint`] and
//!   [`prove_joint_impossible`] for why nothing is better, or there is nothing.
//!
//! # Methods
//!
//! For n slots, m items and P pairs; more is said where each one lives.
//!
//! | what | how | cost | source |
//! | --- | --- | --- | --- |
//! | total, squares from a target | shortest augmenting paths; from 4096 pairs on over a few pairs of each row | O(n²·m) | Kuhn 1955; Munkres 1957; Jonker & Volgenant 1987; Hoffman 1963 |
//! | worst value | thresholds over matchings | 2·log₂(range) matchings | Gross 1959; Hopcroft & Karp 1973 |
//! | spread | two moving ends over a matching | O(P·log P) and a path for each pair that leaves | Martello, Pulleyblank, Toth & de Werra 1984 |
//! | spread where values add up | opposite pairs, and two moving ends over them | sorting, then O(n·log(m/n)) a step | Hardy, Littlewood & Pólya 1934 |
//! | squares about the mean | parametric assignment | a total for each corner | Eisner & Severance 1976 |
//! | ranking | partition | n solves a choice at most | Murty 1968; Miller, Stone & Cox 1997 |
//! | competing sets | violators of a matching; up to 20 slots the smallest set | a matching; O(2ⁿ·n + P) | Hall 1935 |
//! | prices of single pairs | shortest ways between slots | O(n³ + P) | Floyd 1962 |
//! | side conditions, several items a slot, two kinds a slot | branch and bound | exponential in n at worst | Land & Doig 1960; Mackworth 1977; Geoffrion 1974; Pierskalla 1968 |
//!
//! ```
//! use pairwright_assign::{Criterion, Item, Measure, Outcome, Problem, Sense, Shape, Table, solve};
//!
//! // Three slots, four items. Values add up: what the slot brings plus what the item brings.
//! let slots = [0, 5, 9];
//! let items = [0, 4, 10, 30];
//! let table = Table::from_fn(Shape { slots: 3, items: 4 }, |slot, item| {
//!     Some(slots[slot.index()] + items[item.index()])
//! })?;
//! // Item 0 is in slot 0 now, item 1 in slot 1, item 2 in slot 2.
//! let moves = Table::from_fn(table.shape(), |slot, item| Some(i64::from(slot.number() != item.number())))?;
//!
//! let least = |table, measure| Criterion { table, measure, sense: Sense::Least, slack: 0 };
//! let chain = vec![
//!     least(&table, Measure::Spread),
//!     least(&table, Measure::SquaresAboutMean),
//!     least(&moves, Measure::Total),
//! ];
//! let Outcome::Proven(best) = solve(&Problem::new(chain, vec![])?) else { panic!("this chain is exact") };
//!
//! // 0 + 10, 5 + 4 and 9 + 0 lie between 9 and 10; two items move.
//! assert_eq!(best.choice.items(), [2, 1, 0].map(Item::new));
//! assert_eq!(best.values, [1, 2, 2]);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

// The suite's enumeration is used by tests in here, too.
#[cfg(test)]
extern crate self as pairwright_assign;

mod additive;
mod alike;
mod allowed;
mod any_best;
mod best;
#[cfg(test)]
#[expect(dead_code, reason = "the suite outside uses the rest")]
#[path = "../tests/suite/brute.rs"]
mod brute;
mod budget;
mod by_window;
mod chain;
mod competing;
mod dense;
mod divide;
mod effort;
mod extract;
mod first;
mod first_prices;
mod free_mean;
mod grid;
#[cfg(test)]
mod jobs;
mod joint;
mod matching;
mod near_to;
mod outcome;
mod outermost;
mod pile;
mod price;
mod problem;
#[cfg(feature = "program")]
pub mod program;
mod prove;
mod ranked;
mod reach;
mod region;
mod rows;
mod search;
mod sensitivity;
pub mod several;
mod shortage;
pub mod sides;
mod sieve;
mod smallest;
mod sparse;
mod spread;
mod stable;
mod start;
mod sum;
mod vectors;
mod watch;
mod weight;
mod worst;

pub use additive::{NarrowestChoice, narrowest};
pub use any_best::{AnyBest, any_best};
pub use budget::{Budget, Progress, Stop};
pub use chain::{solve, solve_within};
pub use joint::{
    FirstJoint, JointAim, JointError, JointFloors, JointOutcome, JointPrices, JointProblem, JointShortage,
    JointSolution, NoProof, SumLimit, Ties, first_joint, joint_prices, prove_joint, prove_joint_impossible,
    solve_joint,
};
pub use near_to::{MovesError, best_within_moves};
pub use outcome::{Bound, NothingFound, Outcome, Reason, Solution};
pub use pairwright_proof::{
    Additive, AdditiveFault, Along, Beside, Bundles, Cause, Changes, Choice, Couple, Criterion, Filled, Item,
    JointChoice, JointStatement, JointStatementError, Measure, Neighbour, Outer, Pile, Proof, Refutation, Roles, Scale,
    Sense, SeveralLimit, SeveralRule, Shape, Shortage, Side, Sides, Slot, Statement, Table, TableError, TotalLimit,
    Window, Worth, check_additive,
};
pub use price::{ChainPrices, Price, chain_prices};
pub use problem::{Problem, ProblemError};
pub use prove::{Evidence, solve_with_proof};
pub use ranked::{OtherItems, RankError, Ranked, other_items, ranked};
pub use sensitivity::{Sensitivity, sensitivity};
pub use smallest::{Limit, Range, SmallestChange, smallest_changes};
pub use stable::{Stretch, StretchError, Stretches, stretches};
#[cfg(feature = "bad-starts")]
#[doc(hidden)]
pub use start::starting_from;
