//! The completed matching whose vector of items is the smallest.
//!
//! Slot after slot takes the smallest item that leaves the others served. Whether it may take item j is a question of
//! reach: the slot that holds j moves on to another of its items, whose slot moves on in turn, until one moves to the item
//! that was given up, or to a free one if the item given up may stay unused. An item is known for the last but one as soon as it is
//! met. Items from which nothing of the kind can be reached are of no use to the next j either, so all j of a slot together
//! cost one look at each pair.

use super::{Matching, word_base};
use crate::grid::{Bits, Grid};
use pairwright_proof::{Item, Slot};

/// Room to look for what can be reached.
struct Reach {
    unseen: Bits,
    queue: Vec<Item>,
    /// The item from which the search came to an item.
    before: Vec<Item>,
}

impl Matching {
    /// Makes a completed matching the first one in the order of its vector of items, as long as `goes_on` says so.
    ///
    /// O(slots · pairs) at worst, 64 pairs a step.
    pub(crate) fn put_in_order(&mut self, grid: &Grid, must: &Bits, goes_on: impl Fn() -> bool) {
        let items = grid.item_count();
        let mut open = Bits::none(items);
        open.fill_all();
        let mut reach = Reach { unseen: open.clone(), queue: Vec::new(), before: vec![Item::new(0); items] };
        for slot in grid.slots().take_while(|_| goes_on()) {
            if let Some(own) = self.item_of[slot.index()] {
                reach.unseen.words_mut().copy_from_slice(open.words());
                let smaller = grid.items_of(slot).take_while(|&item| item < own);
                let found =
                    { smaller }.find_map(|item| Some((item, self.resettled(grid, must, own, item, &mut reach)?)));
                if let Some((item, end)) = found {
                    self.shift(slot, item, end, &reach.before);
                }
            }
            if let Some(own) = self.item_of[slot.index()] {
                open.clear(own.index());
            }
        }
    }

    /// The last item of a way to resettle the slot that holds `taken`, `own` being given up; looks only at unseen items.
    fn resettled(&self, grid: &Grid, must: &Bits, own: Item, taken: Item, reach: &mut Reach) -> Option<Item> {
        if !reach.unseen.has(taken.index()) {
            return None;
        }
        // An item is the last but one where its slot may take the item given up, or the last where it is free.
        let may_be_left = !must.has(own.index());
        let end = |item: Item, before: &mut [Item]| match self.slot_of[item.index()] {
            Some(slot) if grid.has(slot, own) => {
                before[own.index()] = item;
                Some(own)
            }
            None if may_be_left => Some(item),
            _ => None,
        };
        reach.unseen.clear(taken.index());
        if let Some(last) = end(taken, &mut reach.before) {
            return Some(last);
        }
        reach.queue.clear();
        reach.queue.push(taken);
        let mut next = 0;
        while let Some(&item) = reach.queue.get(next) {
            next += 1;
            if let Some(slot) = self.slot_of[item.index()] {
                if let Some(last) = reach.from(item, grid.row(slot), end) {
                    return Some(last);
                }
                continue;
            }
            // Another item may be given up for a free one.
            let held = |other: &u32| self.slot_of[*other as usize].is_some() && !must.has(*other as usize);
            let is_item = |at: &u32| (*at as usize) < self.slot_of.len();
            let others: Vec<Item> = reach.unseen.iter().filter(is_item).filter(held).map(Item::new).collect();
            for other in others {
                reach.unseen.clear(other.index());
                reach.before[other.index()] = item;
                if other == own {
                    return Some(own);
                }
                if let Some(last) = end(other, &mut reach.before) {
                    return Some(last);
                }
                reach.queue.push(other);
            }
        }
        None
    }

    /// Gives `slot` the item `taken`, and everyone on the way to `end` the next item of it.
    fn shift(&mut self, slot: Slot, taken: Item, end: Item, before: &[Item]) {
        let mut moves = Vec::new();
        let mut item = end;
        while item != taken {
            let previous = before[item.index()];
            moves.extend(self.slot_of[previous.index()].map(|slot| (slot, item)));
            item = previous;
        }
        moves.push((slot, taken));
        for (slot, _) in &moves {
            if let Some(old) = self.item_of[slot.index()] {
                self.release(old);
            }
        }
        for (slot, item) in moves {
            self.put(slot, item);
        }
    }
}

impl Reach {
    /// Queues the unseen items of a row, reached from `item`; the end, once one of them tells it.
    fn from(&mut self, item: Item, row: &[u64], end: impl Fn(Item, &mut [Item]) -> Option<Item>) -> Option<Item> {
        for (at, (&row, unseen)) in row.iter().zip(self.unseen.words_mut()).enumerate() {
            let mut reached = row & *unseen;
            *unseen &= !reached;
            while reached != 0 {
                let other = Item::new(word_base(at) + reached.trailing_zeros());
                reached &= reached - 1;
                self.before[other.index()] = item;
                if let Some(last) = end(other, &mut self.before) {
                    return Some(last);
                }
                self.queue.push(other);
            }
        }
        None
    }
}
