//! One more row served, by a shortest path over all columns.

use super::{FREE, State};
use crate::weight::Weight;

/// What a search knows of a column.
#[derive(Clone, Copy)]
struct Reached<W> {
    /// The length of the shortest path met; absent once it is settled.
    length: W,
    /// The column's price; so far below zero once the column is settled that no path gets there again.
    price: W,
    /// The row it is reached from.
    from: usize,
}

/// Room to search in.
pub(super) struct Paths<W> {
    columns: Vec<Reached<W>>,
    /// Columns with the lengths of their shortest paths.
    settled: Vec<(usize, W)>,
}

impl<W: Weight> Paths<W> {
    pub(super) fn new(rows: usize, columns: usize) -> Self {
        Self { columns: Vec::with_capacity(columns), settled: Vec::with_capacity(rows) }
    }

    /// `None` if the row cannot be served.
    pub(super) fn serve(&mut self, state: &mut State<'_, W>, root: usize) -> Option<()> {
        self.settled.clear();
        self.columns.clear();
        self.columns.extend(state.price.iter().map(|&price| Reached { length: W::ABSENT, price, from: FREE }));
        let mut row = root;
        let mut base = W::ZERO;
        let (last, length) = loop {
            let (column, nearest) = self.relax(state, row, base)?;
            row = state.row_of[column];
            if row == FREE {
                break (column, nearest);
            }
            base = nearest.minus(state.reduced(row, column));
            self.settled.push((column, nearest));
            let settled = &mut self.columns[column];
            settled.length = W::ABSENT;
            settled.price = W::ZERO.minus(W::ABSENT).minus(W::ABSENT);
        };
        for &(column, nearest) in &self.settled {
            state.price[column] = state.price[column].plus(nearest).minus(length);
        }
        let mut column = last;
        loop {
            let row = self.columns[column].from;
            let before = state.column_of[row];
            state.join(row, column);
            if row == root {
                return Some(());
            }
            column = before;
        }
    }

    /// Lengthens the paths by a row and gives the nearest column not settled, a free one if there is a choice.
    fn relax(&mut self, state: &State<'_, W>, row: usize, base: W) -> Option<(usize, W)> {
        let mut nearest = W::ABSENT;
        let mut nearest_at = FREE;
        for (at, (&cost, column)) in state.block.row(row).iter().zip(&mut self.columns).enumerate() {
            let through = base.plus(cost).minus(column.price);
            if through < column.length {
                (column.length, column.from) = (through, row);
            }
            if column.length < nearest || (column.length == nearest && state.row_of[at] == FREE) {
                (nearest, nearest_at) = (column.length, at);
            }
        }
        (!nearest.is_absent()).then_some((nearest_at, nearest))
    }
}
