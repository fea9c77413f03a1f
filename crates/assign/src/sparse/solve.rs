//! The steps, one after the other.

use super::nearest::RAISE;
use super::reduce::reduce;
use super::rows::Rows;
use super::search::Search;
use super::start::{least_of_columns, of_order};
use super::state::{NONE, State};
use super::tight::Tight;
use crate::augment::Priced;
use crate::watch::Watch;

/// How much is looked at first.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Plan {
    /// Pairs kept of each row at first.
    pub(crate) pairs: usize,
    /// Every so many-th row is read for the start prices.
    pub(crate) stride: usize,
    /// Times that paths are looked for among the pairs kept alone, before no pair is left aside any more.
    pub(crate) rough: usize,
}

/// Rounds of row reduction.
const ROUNDS: usize = 2;
/// So few rows are not worth another time among the pairs kept alone.
const FEW: usize = 50;

impl Plan {
    /// What is fastest on the tables of the benchmark. The larger the table, the farther a row's item may be from its
    /// cheapest ones.
    pub(crate) fn usual(rows: usize) -> Self {
        Self { pairs: 24 + rows / 500, stride: 4, rough: 3 }
    }
}

/// A cheapest assignment; `None` if there is none, if a cost is too large, or if it was ended early.
pub(crate) fn cheapest(rows: &impl Rows, plan: Plan, watch: &Watch<'_>) -> Option<Priced<i64>> {
    let (height, width) = rows.shape();
    if height > width {
        return None;
    }
    let price = match height {
        0 => Vec::new(),
        _ if height < width => vec![RAISE; width],
        _ => of_order(rows).unwrap_or_else(|| least_of_columns(rows, plan.stride)),
    };
    let mut state = State::new(rows, price, plan.pairs);
    let mut free = begin(&mut state);
    Tight::new(height, width).match_free(&mut state, &mut free);
    if height == width {
        among_known(rows, &mut state, &mut free, plan, watch)?;
    }
    settle(&mut state, &mut free)?;
    let mut search = Search::new(height, width);
    for row in free {
        if !rows.are_small() || !watch.goes_on() {
            return None;
        }
        search.serve(&mut state, row)?;
    }
    if !rows.are_small() {
        return None;
    }
    let (mut row_price, mut column_price) = state.prices();
    if height == width {
        // All columns are used: one number more for all rows and less for all columns changes nothing.
        let most = column_price.iter().copied().max().unwrap_or(0);
        for price in &mut row_price {
            *price += most;
        }
        for price in &mut column_price {
            *price -= most;
        }
    }
    let column_of = state.column_of.iter().map(|&column| column as usize).collect();
    Some(Priced { column_of, row_price, column_price })
}

/// Gives each row its cheapest column, if that is free still; the others are left.
fn begin<R: Rows>(state: &mut State<'_, R>) -> Vec<u32> {
    let mut free = Vec::new();
    for row in (0..NONE).take(state.lists.len()) {
        let first = state.lists[row as usize].iter().copied().min_by_key(|&pair| state.reduced(pair));
        match first {
            Some(pair) if state.row_of[pair.column as usize] == NONE => state.join(row, pair),
            _ => free.push(row),
        }
    }
    free
}

/// What can be done without paths.
fn settle<R: Rows>(state: &mut State<'_, R>, free: &mut Vec<u32>) -> Option<()> {
    for _ in 0..ROUNDS {
        reduce(state, free)?;
    }
    Tight::new(state.column_of.len(), state.row_of.len()).match_free(state, free);
    Some(())
}

/// Matches rows by paths among the pairs known, then looks which pairs that left aside; a few times, each of which leaves
/// fewer rows. Only where every column will be used: rows that are freed leave columns whose prices are not zero.
fn among_known<R: Rows>(
    rows: &R,
    state: &mut State<'_, R>,
    free: &mut Vec<u32>,
    plan: Plan,
    watch: &Watch<'_>,
) -> Option<()> {
    let mut search = Search::among_known(state.column_of.len(), state.row_of.len());
    for _ in 0..plan.rough {
        settle(state, free)?;
        if free.len() < FEW.min(state.column_of.len() / 8) {
            return Some(());
        }
        let mut left = Vec::new();
        for row in free.drain(..) {
            if !rows.are_small() || !watch.goes_on() {
                return None;
            }
            if search.serve(state, row).is_none() {
                left.push(row);
            }
        }
        *free = left;
        state.correct(free, plan.pairs);
    }
    Some(())
}
