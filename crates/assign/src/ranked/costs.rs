//! What every pair costs, slot after slot.

use crate::best::Cost;
use crate::grid::Grid;
use crate::weight::Weight;
use pairwright_proof::{Item, Slot};

/// A weight that is a whole number.
pub(super) trait Number: Weight + Into<i128> + TryFrom<i128> {
    /// Prices and ways stay below it.
    const ROOM: i128;
}

impl Number for i64 {
    const ROOM: i128 = 1 << 62;
}

impl Number for i128 {
    const ROOM: i128 = 1 << 126;
}

#[derive(Clone, Debug)]
pub(super) struct Costs<W> {
    slots: usize,
    items: usize,
    cells: Vec<W>,
    /// No pair costs more, either way.
    largest: i128,
}

impl<W: Number> Costs<W> {
    /// The costs of a grid's pairs; `None` if a number has no room for what comes of them.
    pub(super) fn new(cost: &Cost<'_>, grid: &Grid) -> Option<Self> {
        let (slots, items) = (grid.slot_count(), grid.item_count());
        let mut cells = vec![W::ABSENT; slots * items];
        let mut largest = 0;
        let limit = W::ROOM / (16 * (slots as i128 + 1));
        for (slot, row) in grid.slots().zip(cells.chunks_mut(items.max(1))) {
            for item in grid.items_of(slot) {
                let cost = cost.of(slot, item);
                largest = cost.abs().max(largest);
                row[item.index()] = W::try_from(cost).ok()?;
            }
            if largest >= limit {
                return None;
            }
        }
        Some(Self { slots, items, cells, largest })
    }

    pub(super) fn slots(&self) -> usize {
        self.slots
    }

    pub(super) fn items(&self) -> usize {
        self.items
    }

    pub(super) fn row(&self, slot: usize) -> &[W] {
        &self.cells[slot * self.items..(slot + 1) * self.items]
    }

    /// What a choice comes to.
    pub(super) fn total(&self, choice: &[Item]) -> i128 {
        choice.iter().enumerate().map(|(slot, item)| self.row(slot)[item.index()].into()).sum()
    }

    /// A price of a first choice; `None` if it is larger than it need be, so that there may be no room for those that
    /// inherit it.
    ///
    /// Such prices are differences of at most 2n + 2 costs. What later choices add to them is, all in all, by how much they
    /// are worse than the first, hence at most 2n costs; a way is no longer than that, and with two prices and a cost it stays
    /// below 16·(n + 1) costs.
    pub(super) fn price(&self, price: i128) -> Option<W> {
        let most = self.largest * (2 * self.slots as i128 + 2);
        W::try_from(price).ok().filter(|_| price.abs() <= most)
    }
}

/// What a pair costs beyond the prices; [`Weight::ABSENT`] if there is no pair.
pub(super) fn excess<W: Weight>(cost: W, slot_price: W, item_price: W) -> W {
    if cost == W::ABSENT { cost } else { cost.minus(slot_price).minus(item_price) }
}

/// A slot by its place.
pub(super) fn slot(at: usize) -> Slot {
    Slot::new(u32::try_from(at).unwrap_or(u32::MAX))
}

/// An item by its place.
pub(super) fn item(at: usize) -> Item {
    Item::new(u32::try_from(at).unwrap_or(u32::MAX))
}
