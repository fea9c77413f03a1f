//! Many columns: several at once, by the same instructions for each.

use super::{Reached, State, out_of_reach};
use crate::dense::FREE;
use crate::weight::Weight;

pub(in crate::dense) struct Together<W> {
    /// The lengths of the shortest paths met; absent once the column is settled.
    length: Vec<W>,
    /// The columns' prices; out of reach once the column is settled.
    price: Vec<W>,
    /// The rows they are reached from.
    from: Vec<usize>,
}

/// Columns looked at together for the nearest one.
const BLOCK: usize = 8;

impl<W: Weight> Reached<W> for Together<W> {
    fn new(columns: usize) -> Self {
        Self { length: vec![W::ABSENT; columns], price: Vec::with_capacity(columns), from: vec![FREE; columns] }
    }

    #[inline(always)]
    fn begin(&mut self, price: &[W]) {
        self.length.fill(W::ABSENT);
        self.price.clear();
        self.price.extend_from_slice(price);
    }

    #[inline(always)]
    fn relax(&mut self, state: &State<'_, W>, row: usize, base: W) -> Option<(usize, W)> {
        let mut nearest = W::ABSENT;
        let known = self.length.iter_mut().zip(&mut self.from).zip(&self.price);
        for (((length, from), &price), &cost) in known.zip(state.block.row(row)) {
            let through = base.plus(cost).minus(price);
            let is_shorter = through < *length;
            *length = if is_shorter { through } else { *length };
            *from = if is_shorter { row } else { *from };
            nearest = nearest.min(*length);
        }
        (!nearest.is_absent()).then(|| (self.first_at(nearest, &state.row_of), nearest))
    }

    #[inline(always)]
    fn settle(&mut self, column: usize) {
        self.length[column] = W::ABSENT;
        self.price[column] = out_of_reach();
    }

    #[inline(always)]
    fn from(&self, column: usize) -> usize {
        self.from[column]
    }
}

impl<W: Weight> Together<W> {
    /// The first column so near, a free one if there is a choice.
    #[inline(always)]
    fn first_at(&self, nearest: W, row_of: &[usize]) -> usize {
        let mut first = FREE;
        for (lengths, from) in self.length.chunks(BLOCK).zip((0..).step_by(BLOCK)) {
            let so_near = lengths.iter().filter(|&&length| length == nearest).count();
            if so_near == 0 {
                continue;
            }
            for (column, &length) in (from..).zip(lengths) {
                if length == nearest {
                    if row_of[column] == FREE {
                        return column;
                    }
                    first = first.min(column);
                }
            }
        }
        first
    }
}
