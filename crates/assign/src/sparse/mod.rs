//! Least total on large tables: a few pairs of each row, shortest augmenting paths over them, and more pairs where a path
//! could need them.
//!
//! 1. **Start prices** (`start`): zero where columns are left over; otherwise the first prices of the table's kind, or the least of
//!    each column. Where rows crowd on the same few columns those start below zero.
//! 2. **A pass over the table** (`nearest`) keeps the cheapest pairs of each row and a floor for all others.
//! 3. **Ties** (`tight`): a maximum matching over pairs that cost as little as any of their row's.
//! 4. **Row reduction** (`reduce`), twice.
//! 5. Where every column will be used: **paths among the pairs known** alone, and a look at the rows whose floor they passed
//!    (`state`); what was left aside joins the known pairs, and rows that lose by it start anew. A few times.
//! 6. **Shortest paths** (`search`), one for each row left. A row is read again when a path reaches its floor, so that no
//!    pair is left aside.
//!
//! Except in step 5 the prices bound all pairs of the matched rows, known or not; so what comes out is a cheapest
//! assignment and prices that prove it, and there is no pass over the table at the end. Memory beside the table: the
//! pairs kept, at most an eighth of a row's each where rows are long (an eighth of the pairs is a quarter of the memory).
//!
//! # References
//! - R. Jonker and A. Volgenant, *A shortest augmenting path algorithm for dense and sparse linear
//!   assignment problems*, Computing 38 (1987): row reduction, paths over a sparse part with a check of the rest.

mod nearest;
mod reduce;
mod search;
mod solve;
mod start;
mod state;
mod tight;

pub(crate) use solve::{Plan, cheapest};

#[cfg(test)]
mod tests;
