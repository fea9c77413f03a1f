//! One more row served, by a shortest path over all columns.

mod one_by_one;
mod together;

use super::{FREE, State};
use crate::weight::Weight;

pub(super) use one_by_one::OneByOne;
pub(super) use together::Together;

/// What a search knows of the columns.
pub(super) trait Reached<W> {
    fn new(columns: usize) -> Self;

    /// No column is reached, at these prices.
    fn begin(&mut self, price: &[W]);

    /// Lengthens the paths by a row and gives the nearest column not settled, a free one if there is a choice, and how long the path
    /// to it is. `None` if no column is reached.
    fn relax(&mut self, state: &State<'_, W>, row: usize, base: W) -> Option<(usize, W)>;

    /// No path gets to a column again.
    fn settle(&mut self, column: usize);

    /// The row that a column is reached from.
    fn from(&self, column: usize) -> usize;
}

/// Room to search in.
pub(super) struct Paths<W, R> {
    reached: R,
    /// Columns with the lengths of their shortest paths.
    settled: Vec<(usize, W)>,
}

impl<W: Weight, R: Reached<W>> Paths<W, R> {
    pub(super) fn new(rows: usize, columns: usize) -> Self {
        Self { reached: R::new(columns), settled: Vec::with_capacity(rows) }
    }

    /// `None` if the row cannot be served.
    #[inline(always)]
    pub(super) fn serve(&mut self, state: &mut State<'_, W>, root: usize) -> Option<()> {
        self.settled.clear();
        self.reached.begin(&state.price);
        let mut row = root;
        let mut base = W::ZERO;
        let (last, length) = loop {
            let (column, nearest) = self.reached.relax(state, row, base)?;
            row = state.row_of[column];
            if row == FREE {
                break (column, nearest);
            }
            base = nearest.minus(state.reduced(row, column));
            self.settled.push((column, nearest));
            self.reached.settle(column);
        };
        for &(column, nearest) in &self.settled {
            state.price[column] = state.price[column].plus(nearest).minus(length);
        }
        let mut column = last;
        loop {
            let row = self.reached.from(column);
            let before = state.column_of[row];
            state.join(row, column);
            if row == root {
                return Some(());
            }
            column = before;
        }
    }
}

/// A price so far below zero that no path gets to the column again.
fn out_of_reach<W: Weight>() -> W {
    W::ZERO.minus(W::ABSENT).minus(W::ABSENT)
}
