//! Whether every slot can be served: augmenting paths over bit rows.
//!
//! Items that have to be used are covered first, by alternating paths from the item; then every free slot is served
//! by an augmenting path, which keeps every item covered that was covered before. So a matching that serves all slots
//! and
//! covers all those items is found whenever there is one.
//!
//! One path at a time costs O(slots · pairs) in all, 64 pairs a step; paths by phases (Hopcroft & Karp 1973) take
//! O(√slots · pairs) and would not be carried along from one window to the next.
//!
//! # References
//! - H. W. Kuhn, *The Hungarian method for the assignment problem*, Naval Res. Logist. Quart. 2 (1955): augmenting paths.
//! - J. E. Hopcroft and R. M. Karp, *An n^5/2 algorithm for maximum matchings in bipartite graphs*, SIAM J. Comput. 2 (1973).
//! - P. Hall, *On representatives of subsets*, J. London Math. Soc. 10 (1935): when a slot cannot be served,
//!   the slots that alternating paths reach from it have one item fewer between them, and no slot can be dropped from
//!   them.
//! - N. S. Mendelsohn and A. L. Dulmage, *Some generalizations of the problem of distinct representatives*,
//!   Canad. J. Math. 10 (1958): slots and items can be covered together if each side can by itself.

mod in_order;

use crate::grid::{Bits, Grid};
use pairwright_proof::{Item, Slot};

/// Why a matching cannot be completed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Violator {
    /// These slots have only these items between them, one too few.
    Slots { slots: Bits, items: Bits },
    /// These items must all be used and have only these slots between them, one too few.
    Items { items: Bits, slots: Bits },
}

impl Violator {
    /// Whether allowing some pair of this slot could take this reason away.
    pub(crate) fn may_be_broken_at(&self, slot: Slot) -> bool {
        match self {
            Self::Slots { slots, .. } => slots.has(slot.index()),
            Self::Items { slots, .. } => !slots.has(slot.index()),
        }
    }

    /// Whether allowing one more pair takes this reason away.
    pub(crate) fn is_broken_by(&self, slot: Slot, item: Item) -> bool {
        match self {
            Self::Slots { slots, items } => slots.has(slot.index()) && !items.has(item.index()),
            Self::Items { items, slots } => items.has(item.index()) && !slots.has(slot.index()),
        }
    }
}

/// Slots matched to items, and room to search in.
#[derive(Clone, Debug)]
pub(crate) struct Matching {
    item_of: Vec<Option<Item>>,
    slot_of: Vec<Option<Slot>>,
    /// Number of slots without an item.
    free_slots: usize,
    free_items: Bits,
    unseen: Bits,
    seen_slots: Bits,
    queue: Vec<Slot>,
    item_queue: Vec<Item>,
    /// The slot from which the search came to an item.
    slot_before: Vec<Slot>,
    /// The item from which the search came to a slot; no room for it before items have to be covered.
    item_before: Vec<Item>,
}

impl Matching {
    pub(crate) fn empty(grid: &Grid) -> Self {
        let (slots, items) = (grid.slot_count(), grid.item_count());
        let mut free_items = Bits::none(items);
        free_items.fill_all();
        Self {
            item_of: vec![None; slots],
            slot_of: vec![None; items],
            free_slots: slots,
            free_items,
            unseen: Bits::none(items),
            seen_slots: Bits::none(slots),
            queue: Vec::with_capacity(slots),
            item_queue: Vec::new(),
            slot_before: vec![Slot::new(0); items],
            item_before: Vec::new(),
        }
    }

    /// The item of every slot; only of a completed matching.
    pub(crate) fn choice(&self) -> Vec<Item> {
        self.item_of.iter().map(|item| item.expect("a completed matching serves every slot")).collect()
    }

    /// The item of every slot, put where there is room already; only of a completed matching.
    pub(crate) fn copy_to(&self, choice: &mut Vec<Item>) {
        choice.clear();
        let items = self.item_of.iter().map(|item| item.expect("a completed matching serves every slot"));
        choice.extend(items);
    }

    /// Takes the pair out, if it is matched.
    pub(crate) fn part(&mut self, slot: Slot, item: Item) {
        if self.item_of[slot.index()] == Some(item) {
            self.item_of[slot.index()] = None;
            self.release(item);
            self.free_slots += 1;
        }
    }

    /// Matches a pair of which neither is matched.
    pub(crate) fn join(&mut self, slot: Slot, item: Item) {
        self.put(slot, item);
        self.free_slots -= 1;
    }

    /// How many slots have no item.
    pub(crate) fn free_slots(&self) -> usize {
        self.free_slots
    }

    /// Gives every slot without an item a free one, where it may take one.
    pub(crate) fn take_free(&mut self, grid: &Grid) {
        for slot in grid.slots() {
            if self.item_of[slot.index()].is_none()
                && let Some(item) = first_common(grid.row(slot), self.free_items.words())
            {
                self.join(slot, item);
            }
        }
    }

    /// Serves every slot and covers every item of `must`, or says why that cannot be.
    ///
    /// Every matched pair must be in the grid. O(slots · pairs) at worst, O(pairs) for each slot that is free.
    pub(crate) fn complete(&mut self, grid: &Grid, must: &Bits) -> Result<(), Violator> {
        if !must.is_empty() {
            for item in must.iter().map(Item::new) {
                if self.slot_of[item.index()].is_none() {
                    self.cover(grid, must, item)?;
                }
            }
        }
        if self.free_slots > 0 {
            for slot in grid.slots() {
                if self.item_of[slot.index()].is_none() {
                    self.serve(grid, slot)?;
                }
            }
        }
        Ok(())
    }

    fn put(&mut self, slot: Slot, item: Item) {
        self.item_of[slot.index()] = Some(item);
        self.slot_of[item.index()] = Some(slot);
        self.free_items.clear(item.index());
    }

    fn release(&mut self, item: Item) {
        self.slot_of[item.index()] = None;
        self.free_items.set(item.index());
    }

    fn serve(&mut self, grid: &Grid, root: Slot) -> Result<(), Violator> {
        self.queue.clear();
        self.queue.push(root);
        self.unseen.fill_all();
        let mut next = 0;
        while let Some(&slot) = self.queue.get(next) {
            next += 1;
            if let Some(item) = first_common(grid.row(slot), self.free_items.words()) {
                self.serve_along(root, slot, item);
                return Ok(());
            }
            for (at, (&row, unseen)) in grid.row(slot).iter().zip(self.unseen.words_mut()).enumerate() {
                let mut reached = row & *unseen;
                *unseen &= !reached;
                while reached != 0 {
                    let item = Item::new(word_base(at) + reached.trailing_zeros());
                    reached &= reached - 1;
                    self.slot_before[item.index()] = slot;
                    self.queue.push(self.slot_of[item.index()].expect("free items were looked for before"));
                }
            }
        }
        Err(self.slots_stuck(grid))
    }

    fn serve_along(&mut self, root: Slot, mut slot: Slot, mut item: Item) {
        loop {
            let before = self.item_of[slot.index()];
            self.put(slot, item);
            match before {
                Some(before) if slot != root => {
                    item = before;
                    slot = self.slot_before[item.index()];
                }
                _ => break,
            }
        }
        self.free_slots -= 1;
    }

    fn slots_stuck(&self, grid: &Grid) -> Violator {
        let mut slots = Bits::none(grid.slot_count());
        let mut items = Bits::none(grid.item_count());
        for &slot in &self.queue {
            slots.set(slot.index());
            items.union(grid.row(slot));
        }
        Violator::Slots { slots, items }
    }

    fn cover(&mut self, grid: &Grid, must: &Bits, root: Item) -> Result<(), Violator> {
        self.item_queue.clear();
        self.item_queue.push(root);
        self.item_before.resize(grid.slot_count(), Item::new(0));
        self.seen_slots.clear_all();
        let mut next = 0;
        while let Some(&item) = self.item_queue.get(next) {
            next += 1;
            for slot in grid.slots() {
                if !grid.has(slot, item) || self.seen_slots.has(slot.index()) {
                    continue;
                }
                self.seen_slots.set(slot.index());
                self.item_before[slot.index()] = item;
                match self.item_of[slot.index()] {
                    Some(taken) if must.has(taken.index()) => self.item_queue.push(taken),
                    Some(taken) => {
                        self.release(taken);
                        self.cover_along(root, slot);
                        return Ok(());
                    }
                    None => {
                        self.free_slots -= 1;
                        self.cover_along(root, slot);
                        return Ok(());
                    }
                }
            }
        }
        let mut items = Bits::none(grid.item_count());
        for item in &self.item_queue {
            items.set(item.index());
        }
        Err(Violator::Items { items, slots: self.seen_slots.clone() })
    }

    fn cover_along(&mut self, root: Item, mut slot: Slot) {
        loop {
            let item = self.item_before[slot.index()];
            let before = self.slot_of[item.index()];
            self.put(slot, item);
            match before {
                Some(before) if item != root => slot = before,
                _ => break,
            }
        }
    }
}

fn first_common(row: &[u64], other: &[u64]) -> Option<Item> {
    let at = row.iter().zip(other).position(|(row, other)| row & other != 0)?;
    Some(Item::new(word_base(at) + (row[at] & other[at]).trailing_zeros()))
}

fn word_base(at: usize) -> u32 {
    u32::try_from(at * 64).expect("a table has at most 2^30 items")
}

#[cfg(test)]
mod tests;
