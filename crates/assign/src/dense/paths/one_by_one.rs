//! Few columns: one after the other.

use super::{Reached, State, out_of_reach};
use crate::dense::FREE;
use crate::weight::Weight;

/// What is known of a column.
#[derive(Clone, Copy)]
struct Column<W> {
    /// The length of the shortest path met; absent once it is settled.
    length: W,
    /// The column's price; out of reach once it is settled.
    price: W,
    /// The row it is reached from.
    from: usize,
}

pub(in crate::dense) struct OneByOne<W>(Vec<Column<W>>);

impl<W: Weight> Reached<W> for OneByOne<W> {
    fn new(columns: usize) -> Self {
        Self(Vec::with_capacity(columns))
    }

    #[inline(always)]
    fn begin(&mut self, price: &[W]) {
        self.0.clear();
        self.0.extend(price.iter().map(|&price| Column { length: W::ABSENT, price, from: FREE }));
    }

    #[inline(always)]
    fn relax(&mut self, state: &State<'_, W>, row: usize, base: W) -> Option<(usize, W)> {
        let mut nearest = W::ABSENT;
        let mut nearest_at = FREE;
        for (at, (&cost, column)) in state.block.row(row).iter().zip(&mut self.0).enumerate() {
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

    #[inline(always)]
    fn settle(&mut self, column: usize) {
        let settled = &mut self.0[column];
        (settled.length, settled.price) = (W::ABSENT, out_of_reach());
    }

    #[inline(always)]
    fn from(&self, column: usize) -> usize {
        self.0[column].from
    }
}
