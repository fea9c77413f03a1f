//! Where every column will be used: each column's least cost as its price.

use super::{FREE, State};
use crate::weight::Weight;

impl<W: Weight> State<'_, W> {
    /// Gives columns to the rows that have their least costs, the last columns first; the rows that get none. `None` if a column
    /// has no pair.
    pub(super) fn by_columns(&mut self) -> Option<Vec<usize>> {
        let columns = self.block.columns;
        self.price.fill(W::ABSENT);
        let mut cheapest = vec![FREE; columns];
        for row in 0..self.block.rows {
            for ((price, cheapest), &cost) in self.price.iter_mut().zip(&mut cheapest).zip(self.block.row(row)) {
                if cost < *price {
                    (*price, *cheapest) = (cost, row);
                }
            }
        }
        for column in (0..columns).rev() {
            let row = cheapest[column];
            if row == FREE {
                return None;
            }
            if self.column_of[row] == FREE {
                self.join(row, column);
            }
        }
        Some((0..self.block.rows).filter(|&row| self.column_of[row] == FREE).collect())
    }
}
