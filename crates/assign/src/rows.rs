//! Costs read row by row: a table is never copied.

#[cfg(test)]
pub(crate) mod cells;

use crate::best::Cost;
use crate::dense::span;
use crate::grid::{Grid, members};
use pairwright_proof::{Slot, Table};
use std::cell::Cell;

/// No pair: what [`Rows::row`] gives where there is none.
pub(crate) const ABSENT: i64 = Table::FORBIDDEN;

/// Costs of rows × columns, a row at a time.
pub(crate) trait Rows {
    /// Numbers of rows and of columns.
    fn shape(&self) -> (usize, usize);

    /// The costs of a row, [`ABSENT`] where there is no pair; `room` holds them where they do not stand anywhere.
    fn row<'a>(&'a self, row: usize, room: &'a mut Vec<i64>) -> &'a [i64];

    /// Whether every cost read so far is small enough to calculate with.
    fn are_small(&self) -> bool;
}

/// The largest magnitude of costs for which all prices and lengths of paths stay below 2⁵⁹.
pub(crate) fn most(rows: usize) -> i64 {
    i64::try_from((1_u64 << 59) / span(rows)).unwrap_or(0)
}

/// The costs of a criterion on the pairs of a grid.
pub(crate) struct RowCosts<'a> {
    cost: Cost<'a>,
    shape: (usize, usize),
    /// The pairs left, if not all of the table's are.
    grid: Option<&'a Grid>,
    most: i64,
    small: Cell<bool>,
}

impl<'a> RowCosts<'a> {
    /// Of `grid`, or of all the table's pairs.
    pub(crate) fn new(cost: Cost<'a>, grid: Option<&'a Grid>) -> Self {
        let shape = cost.shape();
        let most = most(shape.0);
        let fits = cost.is_plain() && most >= Table::LIMIT;
        Self { cost, shape, grid, most: if fits { i64::MAX } else { most }, small: Cell::new(true) }
    }
}

/// Takes away what is not in a row of bits.
fn keep(words: &[u64], cells: &mut [i64]) {
    for (word, cells) in words.iter().zip(cells.chunks_mut(64)) {
        let gone = !word & (u64::MAX >> (64 - cells.len()));
        for at in members(&[gone]) {
            cells[at as usize] = ABSENT;
        }
    }
}

/// Whether the first `size` are all in a row of bits.
fn is_full(words: &[u64], size: usize) -> bool {
    words.iter().map(|word| word.count_ones() as usize).sum::<usize>() == size
}

impl Rows for RowCosts<'_> {
    fn shape(&self) -> (usize, usize) {
        self.shape
    }

    fn row<'a>(&'a self, row: usize, room: &'a mut Vec<i64>) -> &'a [i64] {
        let slot = Slot::new(u32::try_from(row).unwrap_or(u32::MAX));
        let values = self.cost.values(slot);
        let words = self.grid.map(|grid| grid.row(slot)).filter(|words| !is_full(words, values.len()));
        if words.is_none() && self.most == i64::MAX {
            return values;
        }
        room.clear();
        let largest = self.cost.fill(values, room);
        if largest > self.most {
            self.small.set(false);
            room.fill(0);
        }
        if let Some(words) = words {
            keep(words, room);
        }
        room
    }

    fn are_small(&self) -> bool {
        self.small.get()
    }
}

/// Its values as they stand.
impl Rows for Table {
    fn shape(&self) -> (usize, usize) {
        (self.shape().slots, self.shape().items)
    }

    fn row<'a>(&'a self, row: usize, _: &'a mut Vec<i64>) -> &'a [i64] {
        self.row(Slot::new(u32::try_from(row).unwrap_or(u32::MAX)))
    }

    fn are_small(&self) -> bool {
        true
    }
}

/// Rows that stand for the columns not in use: with them there are as many rows as columns, and every one of them costs
/// nothing anywhere.
pub(crate) struct Padded<'a, R>(pub(crate) &'a R);

impl<R: Rows> Rows for Padded<'_, R> {
    fn shape(&self) -> (usize, usize) {
        let (_, columns) = self.0.shape();
        (columns, columns)
    }

    fn row<'a>(&'a self, row: usize, room: &'a mut Vec<i64>) -> &'a [i64] {
        let (rows, columns) = self.0.shape();
        if row < rows {
            return self.0.row(row, room);
        }
        room.clear();
        room.resize(columns, 0);
        room
    }

    fn are_small(&self) -> bool {
        self.0.are_small()
    }
}
