//! Row reduction: a row takes its best column from whoever has it, at the price that its second best leaves.

use super::{FREE, State};
use crate::weight::Weight;

/// A row's two best columns, and what they cost less their prices; the second is [`FREE`] if there is no other.
struct Nearest<W> {
    column: usize,
    least: W,
    other: usize,
    second: W,
}

impl<W: Weight> State<'_, W> {
    /// Goes through the free rows once; those that have no column then are the new `free`. `None` if a row has no pair.
    #[inline(always)]
    pub(super) fn reduce(&mut self, free: &mut Vec<usize>) -> Option<()> {
        // Where prices sink by little the same rows could go on and on.
        let mut steps = 4 * free.len();
        let mut kept = 0;
        for place in 0..free.len() {
            let mut row = free[place];
            loop {
                let Nearest { mut column, least, other, second } = self.nearest(row)?;
                let mut holder = self.row_of[column];
                let sinks = least < second;
                if sinks && other != FREE {
                    self.price[column] = self.price[column].minus(second.minus(least));
                } else if !sinks && holder != FREE {
                    column = other;
                    holder = self.row_of[column];
                }
                self.join(row, column);
                if holder == FREE {
                    break;
                }
                self.column_of[holder] = FREE;
                if !sinks || steps == 0 {
                    free[kept] = holder;
                    kept += 1;
                    break;
                }
                steps -= 1;
                row = holder;
            }
        }
        free.truncate(kept);
        Some(())
    }

    #[inline(always)]
    fn nearest(&self, row: usize) -> Option<Nearest<W>> {
        let mut nearest = Nearest { column: FREE, least: W::ABSENT, other: FREE, second: W::ABSENT };
        for (column, (cost, &price)) in self.block.row(row).iter().zip(&self.price).enumerate() {
            let reduced = cost.minus(price);
            if reduced < nearest.second {
                if reduced < nearest.least {
                    (nearest.other, nearest.second) = (nearest.column, nearest.least);
                    (nearest.column, nearest.least) = (column, reduced);
                } else {
                    (nearest.other, nearest.second) = (column, reduced);
                }
            }
        }
        if nearest.second.is_absent() {
            nearest.other = FREE;
        }
        (!nearest.least.is_absent()).then_some(nearest)
    }
}
