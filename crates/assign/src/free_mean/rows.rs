//! The slots' values in order, and assignments over the nearest ones.

use crate::grid::{Bits, Grid};
use crate::sum::{Assigned, cheapest_among};
use pairwright_proof::{Item, Slot, Table};

/// The pairs of every slot, values ascending, as distances from the smallest value of all.
pub(crate) struct Rows {
    anchor: i64,
    rows: Vec<Vec<(i64, Item)>>,
}

/// So many times more items than slots are many.
const MANY: usize = 2;
/// So many times more items than slots are still read to the end.
const SOME: usize = 16;
/// So many items a slot are looked at in a first attempt.
const FEW: usize = 4;

impl Rows {
    pub(crate) fn new(grid: &Grid, table: &Table) -> Self {
        let row = |slot: Slot| {
            let row = table.row(slot);
            let mut pairs: Vec<_> = grid.items_of(slot).map(|item| (row[item.index()], item)).collect();
            pairs.sort_unstable();
            pairs
        };
        let mut rows: Vec<Vec<(i64, Item)>> = grid.slots().map(row).collect();
        let anchor = rows.iter().filter_map(|row| row.first()).map(|&(value, _)| value).min().unwrap_or(0);
        for pair in rows.iter_mut().flatten() {
            pair.0 -= anchor;
        }
        Self { anchor, rows }
    }

    /// The smallest value, from which all others are measured.
    pub(crate) fn anchor(&self) -> i64 {
        self.anchor
    }

    /// Whether there are so many more items than slots that most of them do not matter.
    pub(crate) fn are_many(&self) -> bool {
        self.rows.iter().all(|row| row.len() > MANY * self.rows.len())
    }

    /// Whether a look at all pairs is shorter than one for the nearest of each slot.
    pub(crate) fn are_all_worth_reading(&self) -> bool {
        self.rows.iter().all(|row| row.len() <= SOME * self.rows.len())
    }

    /// What the slots' smallest and what their largest values come to.
    pub(crate) fn reach(&self) -> (i128, i128) {
        let ends = |row: &Vec<(i64, Item)>| {
            let end = |pair: Option<&(i64, Item)>| pair.map_or(0, |&(away, _)| i128::from(away));
            (end(row.first()), end(row.last()))
        };
        self.rows.iter().map(ends).fold((0, 0), |sum, ends| (sum.0 + ends.0, sum.1 + ends.1))
    }

    /// The distances of every slot, ascending.
    pub(crate) fn distances(&self) -> impl Iterator<Item = &[(i64, Item)]> {
        self.rows.iter().map(Vec::as_slice)
    }

    /// The choice that is cheapest about a sum, where a pair costs the more the farther n times its distance is from
    /// it.
    ///
    /// Over the nearest items of every slot, twice as many each time until the prices say that no other item can make
    /// the choice cheaper.
    pub(crate) fn cheapest(
        &self,
        about: i128,
        grid: &Grid,
        must: &Bits,
        cost: impl Fn(Slot, Item) -> i128,
    ) -> Option<Assigned> {
        let longest = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let mut count = if self.are_many() { FEW } else { longest };
        let mut columns = Bits::none(grid.item_count());
        loop {
            columns.clear_all();
            for item in must.iter() {
                columns.set(item as usize);
            }
            let next: Vec<Option<Item>> =
                self.rows.iter().map(|row| nearest(row, self.slots(), about, count, &mut columns)).collect();
            let items: Vec<Item> = columns.iter().map(Item::new).collect();
            let found = cheapest_among(&items, grid, must, &cost);
            if count >= longest {
                return found;
            }
            if let Some(found) = found {
                let mut next = grid.slots().zip(&next);
                if next.all(|(slot, next)| next.is_none_or(|item| found.does_without(slot, cost(slot, item)))) {
                    return Some(found);
                }
            }
            count *= 2;
        }
    }

    fn slots(&self) -> i128 {
        self.rows.len() as i128
    }
}

/// Puts the items of a row nearest to a mean into `columns`, so many of them; gives the nearest one left out.
fn nearest(row: &[(i64, Item)], slots: i128, about: i128, count: usize, columns: &mut Bits) -> Option<Item> {
    let from = |pair: &(i64, Item)| (slots * i128::from(pair.0) - about).abs();
    let mut above = row.partition_point(|&(away, _)| slots * i128::from(away) < about);
    let mut below = above;
    for taken in 0..=count {
        let low = below.checked_sub(1).and_then(|at| row.get(at));
        let pair = match (low, row.get(above)) {
            (Some(low), Some(high)) if from(low) < from(high) => low,
            (_, Some(high)) => {
                above += 1;
                high
            }
            (Some(low), None) => low,
            (None, None) => return None,
        };
        if taken == count {
            return Some(pair.1);
        }
        if Some(pair) == low.filter(|low| std::ptr::eq(*low, pair)) {
            below -= 1;
        }
        columns.set(pair.1.index());
    }
    None
}
