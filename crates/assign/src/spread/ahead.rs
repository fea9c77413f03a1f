//! What is seen of a spread before anything is sorted: which values matter.
//!
//! Every choice has a value of at least `up`, the greatest of the slots' smallest values, and one of at most `down`, the
//! least of their largest ones; where every item is used, items say as much as slots do. So a choice with a spread of at
//! most s has all its values from up − s to down + s, and its smallest value from up − s to down. Where there are as many
//! items as slots, a good s is at hand: slots by rising, items by falling means, paired in that order as far as they may
//! be, which is best where values add up (the rearrangement inequality: G. H. Hardy, J. E. Littlewood and G. Pólya,
//! *Inequalities*, 1934, §10.2; from memory).

use crate::grid::{Bits, Grid};
use crate::matching::Violator;
use pairwright_proof::{Item, Slot, Table};
use std::ops::RangeInclusive;

/// What is seen of a grid's slots and items.
pub(crate) struct Lines {
    slots: Vec<Line>,
    items: Vec<Line>,
}

/// What one slot or one item can be worth.
#[derive(Clone, Copy)]
struct Line {
    low: i64,
    high: i64,
    sum: i64,
    count: i64,
}

impl Line {
    const EMPTY: Self = Self { low: i64::MAX, high: i64::MIN, sum: 0, count: 0 };

    fn add(&mut self, value: i64) {
        self.low = self.low.min(value);
        self.high = self.high.max(value);
        self.sum = self.sum.saturating_add(value);
        self.count += 1;
    }

    fn mean(&self) -> i64 {
        self.sum.checked_div(self.count).unwrap_or(0)
    }
}

impl Lines {
    pub(crate) fn of(grid: &Grid, table: &Table) -> Self {
        let mut lines =
            Self { slots: vec![Line::EMPTY; grid.slot_count()], items: vec![Line::EMPTY; grid.item_count()] };
        for (slot, line) in grid.slots().zip(&mut lines.slots) {
            let row = table.row(slot);
            for item in grid.items_of(slot) {
                line.add(row[item.index()]);
                lines.items[item.index()].add(row[item.index()]);
            }
        }
        lines
    }

    /// The spread of opposite pairs; `None` if there is none, or no slot.
    pub(super) fn of_opposites(&self, grid: &Grid, table: &Table) -> Option<i64> {
        let choice = self.opposites(grid)?;
        let values = grid.slots().zip(&choice).map(|(slot, item)| table.row(slot)[item.index()]);
        let (low, high) = values.fold((i64::MAX, i64::MIN), |(low, high), value| (low.min(value), high.max(value)));
        high.checked_sub(low)
    }

    /// Opposite pairs, of which one that is not allowed exchanges items with the next one that makes both allowed; the item
    /// of every slot.
    pub(crate) fn opposites(&self, grid: &Grid) -> Option<Vec<Item>> {
        let mut slots: Vec<(i64, Slot)> = self.slots.iter().map(Line::mean).zip((0..).map(Slot::new)).collect();
        let mut items: Vec<(i64, Item)> = self.items.iter().map(Line::mean).zip((0..).map(Item::new)).collect();
        slots.sort_unstable();
        items.sort_unstable_by(|one, other| other.cmp(one));
        let has = |slot: usize, item: (i64, Item)| grid.has(slots[slot].1, item.1);
        for at in 0..slots.len() {
            if !has(at, items[at]) {
                let may = |&other: &usize| has(at, items[other]) && has(other, items[at]);
                let other = (0..slots.len()).filter(may).min_by_key(|other| other.abs_diff(at))?;
                items.swap(at, other);
            }
        }
        let mut choice = vec![Item::new(0); slots.len()];
        slots.iter().zip(&items).for_each(|((_, slot), (_, item))| choice[slot.index()] = *item);
        Some(choice)
    }

    /// All lines of which every choice has a pair: of the slots, and of the items where all are used.
    fn used(&self) -> impl Iterator<Item = &Line> {
        let items = if self.items.len() == self.slots.len() { &self.items[..] } else { &[] };
        self.slots.iter().chain(items)
    }

    /// The values that no choice lies below altogether, and above altogether; none without slots.
    pub(super) fn ends(&self) -> Option<(i64, i64)> {
        Some((self.used().map(|line| line.low).max()?, self.used().map(|line| line.high).min()?))
    }

    /// The values between which those of all choices with at most this spread lie.
    pub(super) fn that_matter(&self, spread: i64) -> Option<RangeInclusive<i64>> {
        let ((up, down), (lowest, highest)) = self.ends().zip(self.outermost())?;
        Some(up.saturating_sub(spread).max(lowest)..=down.saturating_add(spread).min(highest))
    }

    /// No choice has a smaller spread.
    pub(super) fn bound(&self) -> i64 {
        self.ends().map_or(0, |(up, down)| up.saturating_sub(down).max(0))
    }

    /// The smallest and the largest value of all.
    pub(super) fn outermost(&self) -> Option<(i64, i64)> {
        let low = self.slots.iter().map(|line| line.low).min()?;
        Some((low, self.slots.iter().map(|line| line.high).max()?))
    }

    /// Why there is no choice among the pairs without those of the first line for which something is true.
    pub(super) fn without(&self, is_gone: impl Fn(i64, i64) -> bool) -> Option<Violator> {
        let at = self.used().position(|line| is_gone(line.low, line.high))?;
        let (mut slots, mut items) = (Bits::none(self.slots.len()), Bits::none(self.items.len()));
        if at < self.slots.len() {
            slots.set(at);
        } else {
            // All slots have all other items between them.
            (0..self.slots.len()).for_each(|slot| slots.set(slot));
            (0..self.items.len()).filter(|item| item + self.slots.len() != at).for_each(|item| items.set(item));
        }
        Some(Violator::Slots { slots, items })
    }
}

/// The values between which those of all choices with the least spread lie, as far as that is seen at a glance; only where
/// all items are used.
pub(super) fn values_that_matter(grid: &Grid, table: &Table) -> Option<RangeInclusive<i64>> {
    if grid.slot_count() != grid.item_count() {
        return None;
    }
    let lines = Lines::of(grid, table);
    lines.that_matter(lines.of_opposites(grid, table)?)
}
