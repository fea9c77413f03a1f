//! Where every column will be used: each column's least cost as its price.

use super::{FREE, State};
use crate::weight::Weight;

impl<W: Weight> State<'_, W> {
    /// Gives columns to the rows that have their least costs, the last columns first; the rows that get none. `None` if a column
    /// has no pair.
    #[inline(always)]
    pub(super) fn by_columns(&mut self, shares: &[W]) -> Option<Vec<usize>> {
        self.price.fill(W::ABSENT);
        for row in 0..self.block.rows {
            let costs = self.block.row(row);
            let above_shares = costs.iter().zip(shares).map(|(cost, &share)| cost.minus(share));
            let of_row = above_shares.min().unwrap_or(W::ZERO);
            if of_row.is_absent() {
                return None;
            }
            for ((price, cheapest), &cost) in self.price.iter_mut().zip(&mut self.row_of).zip(costs) {
                let cost = cost.minus(of_row);
                if cost < *price {
                    (*price, *cheapest) = (cost, row);
                }
            }
        }
        for column in (0..self.block.columns).rev() {
            let row = self.row_of[column];
            if self.price[column].is_absent() {
                return None;
            }
            if self.column_of[row] == FREE {
                self.column_of[row] = column;
            } else {
                self.row_of[column] = FREE;
            }
        }
        let mut free = Vec::with_capacity(self.block.rows);
        free.extend((0..self.block.rows).filter(|&row| self.column_of[row] == FREE));
        Some(free)
    }
}
