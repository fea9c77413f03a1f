//! The steps, one after the other.

use super::nearest::RAISE;
use super::reduce::reduce;
use super::search::Search;
use super::start::{start, without_sums};
use super::state::{NONE, State};
use super::tight::Tight;
use crate::dense::Priced;
use crate::rows::{Padded, Rows};
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

/// Where two rows of so many, and more, want a column that another has, with columns to spare, prices that start at zero are
/// far off.
const CROWD: usize = 3;
/// Of so many of the cheapest columns, as many as there are rows, the last one is not given a price: it may not come to be used.
const UNSURE: usize = 50;
/// One column too many for so many rows, or fewer, is few.
const FEW_OVER: usize = 4;

/// A cheapest assignment; `None` if there is none, if a cost is too large, or if it was ended early.
pub(crate) fn cheapest(rows: &impl Rows, plan: Plan, watch: &Watch<'_>) -> Option<Priced<i64>> {
    let (height, width) = rows.shape();
    if height == 0 || height > width {
        return (height == 0).then(|| Priced {
            column_of: Vec::new(),
            row_price: Vec::new(),
            column_price: vec![0; width],
        });
    }
    if height == width {
        return all_used(rows, start(rows, plan.stride), plan, watch);
    }
    let mut state = State::new(rows, vec![RAISE; width], plan.pairs);
    let mut free = begin(&mut state);
    Tight::new(height, width).match_free(&mut state, &mut free);
    if CROWD * free.len() < 2 * height {
        return by_paths(rows, state, free, watch);
    }
    drop(state);
    crowded(rows, plan, watch)
}

/// Where rows crowd on the same few columns, of which more are there than needed.
///
/// Where few columns are left over, rows that cost nothing are added until none is. Otherwise prices below zero are given to
/// the columns that are the cheapest by themselves, not quite as many as there are rows. If all of them come to be used, as
/// they should, nothing is lost by it; if not, rows are added after all.
fn crowded(rows: &impl Rows, plan: Plan, watch: &Watch<'_>) -> Option<Priced<i64>> {
    let (height, width) = rows.shape();
    let least = without_sums(rows, plan.stride);
    if FEW_OVER * (width - height) <= height {
        return padded(rows, least, plan, watch);
    }
    let mut ordered = least.clone();
    let (_, &mut ceiling, _) = ordered.select_nth_unstable(height - height / UNSURE - 1);
    let price = least.iter().map(|least| RAISE + (least - ceiling).min(0)).collect();
    let mut state = State::new(rows, price, plan.pairs);
    let mut free = begin(&mut state);
    Tight::new(height, width).match_free(&mut state, &mut free);
    let found = by_paths(rows, state, free, watch)?;
    let mut used = vec![false; width];
    for &column in &found.column_of {
        used[column] = true;
    }
    if found.column_price.iter().zip(used).all(|(&price, used)| used || price == 0) {
        return Some(found);
    }
    padded(rows, least, plan, watch)
}

/// With rows added that cost nothing anywhere, until no column is left over.
fn padded(rows: &impl Rows, price: Vec<i64>, plan: Plan, watch: &Watch<'_>) -> Option<Priced<i64>> {
    let (height, _) = rows.shape();
    let Priced { mut column_of, mut row_price, column_price } = all_used(&Padded(rows), price, plan, watch)?;
    column_of.truncate(height);
    row_price.truncate(height);
    Some(Priced { column_of, row_price, column_price })
}

/// Where every column will be used: from any prices.
fn all_used(rows: &impl Rows, price: Vec<i64>, plan: Plan, watch: &Watch<'_>) -> Option<Priced<i64>> {
    let size = price.len();
    let mut state = State::new(rows, price, plan.pairs);
    let mut free = begin(&mut state);
    Tight::new(size, size).match_free(&mut state, &mut free);
    among_known(rows, &mut state, &mut free, plan, watch)?;
    let Priced { column_of, mut row_price, mut column_price } = by_paths(rows, state, free, watch)?;
    // One number more for all rows and less for all columns changes nothing, and none is above zero then. Of rows that cost
    // nothing anywhere each has one of the dearest columns.
    let most = column_price.iter().copied().max().unwrap_or(0);
    for price in &mut row_price {
        *price += most;
    }
    for price in &mut column_price {
        *price -= most;
    }
    Some(Priced { column_of, row_price, column_price })
}

/// Matches the rows that are left, and no pair is left aside.
fn by_paths<R: Rows>(rows: &R, mut state: State<'_, R>, mut free: Vec<u32>, watch: &Watch<'_>) -> Option<Priced<i64>> {
    settle(&mut state, &mut free)?;
    let mut search = Search::new(state.column_of.len(), state.row_of.len());
    for row in free {
        if !rows.are_small() || !watch.goes_on() {
            return None;
        }
        search.serve(&mut state, row)?;
    }
    if !rows.are_small() {
        return None;
    }
    let (row_price, column_price) = state.prices();
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
