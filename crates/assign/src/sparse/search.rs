//! One more row matched, by a shortest path over the pairs known.
//!
//! Where a path could be shorter over a pair that is not known (the row's floor says from which length on) the row is read
//! again, before any longer path is looked at. So the path is a shortest one of all pairs.

use super::nearest::{NONE_LEFT, Pair};
use super::state::{NONE, State};
use crate::rows::Rows;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Room to search in.
pub(super) struct Search {
    /// Counts searches; a column whose mark is another number was not reached yet.
    now: u32,
    mark: Vec<u32>,
    reach: Vec<i64>,
    /// The row from which a column was reached, and the pair's cost.
    from: Vec<(u32, i64)>,
    settled: Vec<u32>,
    /// A path's length to a row, less the row's price.
    base: Vec<i64>,
    /// Columns by length; rows, counted on from the last column, by the length from which they have to be read again.
    heap: BinaryHeap<Reverse<(i64, u32)>>,
    /// Whether pairs that are not known are left aside.
    rough: bool,
    /// The nearest column without a row.
    limit: i64,
    last: u32,
}

impl Search {
    /// Searches among the pairs known alone: what it finds has to be corrected.
    pub(super) fn among_known(rows: usize, columns: usize) -> Self {
        Self { rough: true, ..Self::new(rows, columns) }
    }

    pub(super) fn new(rows: usize, columns: usize) -> Self {
        Self {
            now: 0,
            mark: vec![0; columns],
            reach: vec![0; columns],
            from: vec![(NONE, 0); columns],
            settled: Vec::new(),
            base: vec![0; rows],
            heap: BinaryHeap::new(),
            rough: false,
            limit: NONE_LEFT,
            last: NONE,
        }
    }

    /// Matches a row that is not; `None` if that cannot be.
    pub(super) fn serve<R: Rows>(&mut self, state: &mut State<'_, R>, root: u32) -> Option<()> {
        self.now += 1;
        self.heap.clear();
        self.settled.clear();
        (self.limit, self.last) = (NONE_LEFT, NONE);
        let least = state.nearest(root)?.least;
        self.base[root as usize] = -least;
        self.scan(state, root);
        let columns = u32::try_from(state.price.len()).unwrap_or(NONE);
        while let Some(Reverse((length, at))) = self.heap.pop() {
            if length >= self.limit {
                break;
            }
            if at >= columns {
                self.read_again(state, at - columns);
            } else if self.reach[at as usize] == length {
                // A length is put in only when it is less than the one before: no column is settled twice.
                self.settled.push(at);
                let row = state.row_of[at as usize];
                self.base[row as usize] = length - state.row_price(row);
                self.scan(state, row);
            }
        }
        if self.last == NONE {
            return None;
        }
        for &column in &self.settled {
            let column = column as usize;
            state.price[column] += self.reach[column] - self.limit;
        }
        self.turn(state, root);
        Some(())
    }

    /// Goes on from a row along the pairs known of it.
    fn scan<R: Rows>(&mut self, state: &State<'_, R>, row: u32) {
        let base = self.base[row as usize];
        for &pair in &state.lists[row as usize] {
            self.relax(&state.row_of, row, pair, base + state.reduced(pair));
        }
        let floor = state.floor[row as usize];
        if floor != NONE_LEFT && base + floor < self.limit {
            let columns = u32::try_from(state.price.len()).unwrap_or(NONE);
            let again = Reverse((base + floor, columns + row));
            if !self.rough {
                self.heap.push(again);
            }
        }
    }

    fn relax(&mut self, row_of: &[u32], row: u32, pair: Pair, length: i64) {
        let column = pair.column as usize;
        if length >= self.limit || (self.mark[column] == self.now && self.reach[column] <= length) {
            return;
        }
        self.mark[column] = self.now;
        self.reach[column] = length;
        self.from[column] = (row, pair.cost);
        if row_of[column] == NONE {
            (self.limit, self.last) = (length, pair.column);
        } else {
            self.heap.push(Reverse((length, pair.column)));
        }
    }

    /// Goes on from a row along pairs that were not known.
    fn read_again<R: Rows>(&mut self, state: &mut State<'_, R>, row: u32) {
        if state.has_room(row) {
            state.extend(row);
            self.scan(state, row);
            return;
        }
        let base = self.base[row as usize];
        let row_of = std::mem::take(&mut state.row_of);
        let (cells, price) = state.read(row);
        for (column, (&cost, &price)) in (0_u32..).zip(cells.iter().zip(price)) {
            let reduced = cost.wrapping_sub(price);
            if reduced < 0 {
                self.relax(&row_of, row, Pair { cost, column }, base + reduced);
            }
        }
        state.row_of = row_of;
    }

    /// Gives every row of the path its next column.
    fn turn<R: Rows>(&self, state: &mut State<'_, R>, root: u32) {
        let mut column = self.last;
        loop {
            let (row, cost) = self.from[column as usize];
            let before = state.column_of[row as usize];
            state.join(row, Pair { cost, column });
            if row == root {
                return;
            }
            column = before;
        }
    }
}
