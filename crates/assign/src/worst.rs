//! Least possible largest key: the bottleneck assignment.
//!
//! No choice has a largest key below the largest of the slots' smallest keys, nor, where every item is used, of the items'.
//! A threshold is tested by a matching over the pairs below it. When it fails, the slots that compete name the next value
//! that could help; when it holds, the choice found names a lower upper bound. Tests alternate between the lower bound
//! and the middle, so at most about 2·log₂(range) matchings are needed. None begins anew: what was matched below a
//! threshold that failed, or what the best choice so far leaves below the next one, whichever is more.
//!
//! # References
//! - O. Gross, *The bottleneck assignment problem*, RAND P-1630 (1959): the threshold idea.

use crate::grid::{Bits, Grid};
use crate::matching::{Matching, Violator};
use crate::spread::Lines;
use crate::start;
use crate::watch::Watch;
use pairwright_proof::{Item, Slot, Table};

/// Up to so many slots any choice is good enough to begin with.
const FEW: usize = 64;

/// A further condition on the pairs left: a choice among them that meets it.
pub(crate) type Confirm<'a> = &'a dyn Fn(&Grid) -> Option<Vec<Item>>;

/// The least largest key and a choice that has it.
pub(crate) struct Held {
    pub(crate) key: i64,
    pub(crate) choice: Vec<Item>,
}

/// Pairs, what they are worth and what is asked of a choice of them.
pub(crate) struct Keyed<'a, K> {
    pub(crate) grid: &'a Grid,
    pub(crate) must: &'a Bits,
    pub(crate) table: &'a Table,
    /// The key of a slot's pair with such a value.
    pub(crate) key: K,
    pub(crate) confirm: Option<Confirm<'a>>,
}

impl<K: Fn(Slot, i64) -> i64> Keyed<'_, K> {
    /// The least T such that the pairs with a key of at most T still hold a choice that uses all that must be used and is
    /// confirmed; `None` if even all pairs do not. Ended early, the best met.
    pub(crate) fn least(&self, watch: &Watch<'_>) -> Option<Held> {
        let mut stuck = Matching::empty(self.grid);
        let Some(mut low) = self.bound() else { return self.test(self.grid, &mut stuck).ok() };
        let mut held = match self.given() {
            Some(held) => held,
            None => match self.test_below(low, &mut stuck) {
                Ok(held) => return Some(held),
                Err(violator) => {
                    low = self.next_key(low, violator.as_ref()).unwrap_or(low);
                    self.opposites().or_else(|| self.test(self.grid, &mut stuck.clone()).ok())?
                }
            },
        };
        let mut at_low = true;
        while low < held.key && watch.goes_on() {
            let limit = if at_low { low } else { low + (held.key - low) / 2 };
            at_low = !at_low;
            let mut matching = self.left_below(limit, &held);
            if stuck.free_slots() < matching.free_slots() {
                matching = stuck.clone();
            }
            match self.test_below(limit, &mut matching) {
                Ok(better) => held = better,
                Err(violator) => {
                    low = self.next_key(limit, violator.as_ref()).map_or(held.key, |next| next.min(held.key));
                    stuck = matching;
                }
            }
        }
        Some(held)
    }

    /// No choice has a largest key below this; `None` without slots.
    fn bound(&self) -> Option<i64> {
        let all_used = self.grid.slot_count() == self.grid.item_count();
        let mut of_items = vec![i64::MAX; if all_used { self.grid.item_count() } else { 0 }];
        let mut low = None;
        for slot in self.grid.slots() {
            let mut of_slot = i64::MAX;
            let mut see = |item: Item, value: i64| {
                let key = (self.key)(slot, value);
                of_slot = of_slot.min(key);
                if let Some(of_item) = of_items.get_mut(item.index()) {
                    *of_item = key.min(*of_item);
                }
            };
            self.grid.each_value(slot, self.table.row(slot), &mut see);
            low = low.max(Some(of_slot));
        }
        low.max(of_items.into_iter().max())
    }

    /// What a test gives to start from.
    fn given(&self) -> Option<Held> {
        let only = start::given(self.grid, self.must)?;
        self.test(&only, &mut Matching::empty(&only)).ok()
    }

    /// Where many items are all used, opposite pairs: the best ones where values add up.
    fn opposites(&self) -> Option<Held> {
        let slots = self.grid.slot_count();
        if slots <= FEW || slots != self.grid.item_count() || self.confirm.is_some() {
            return None;
        }
        let choice = Lines::of(self.grid, self.table).opposites(self.grid)?;
        Some(Held { key: self.greatest(&choice), choice })
    }

    fn greatest(&self, choice: &[Item]) -> i64 {
        let chosen = self.grid.slots().zip(choice);
        chosen.map(|(slot, item)| (self.key)(slot, self.table.row(slot)[item.index()])).max().unwrap_or(0)
    }

    fn test(&self, grid: &Grid, matching: &mut Matching) -> Result<Held, Option<Violator>> {
        matching.complete(grid, self.must).map_err(Some)?;
        let choice = self.confirm.map_or_else(|| Some(matching.choice()), |confirm| confirm(grid)).ok_or(None)?;
        Ok(Held { key: self.greatest(&choice), choice })
    }

    /// Tests the pairs with a key of at most `limit`, to all of which the matching keeps.
    fn test_below(&self, limit: i64, matching: &mut Matching) -> Result<Held, Option<Violator>> {
        let mut below = self.grid.clone();
        for slot in below.slots() {
            below.keep_values(slot, self.table.row(slot), |value| (self.key)(slot, value) <= limit);
        }
        matching.take_free(&below);
        self.test(&below, matching)
    }

    /// The pairs of the best choice so far with a key of at most `limit`.
    fn left_below(&self, limit: i64, held: &Held) -> Matching {
        let mut matching = Matching::empty(self.grid);
        for (slot, &item) in self.grid.slots().zip(&held.choice) {
            if (self.key)(slot, self.table.row(slot)[item.index()]) <= limit {
                matching.join(slot, item);
            }
        }
        matching
    }

    /// The smallest key above `limit` that could help.
    fn next_key(&self, limit: i64, stuck: Option<&Violator>) -> Option<i64> {
        let mut next: Option<i64> = None;
        for slot in self.grid.slots().filter(|&slot| stuck.is_none_or(|stuck| stuck.may_be_broken_at(slot))) {
            self.grid.each_value(slot, self.table.row(slot), |item, value| {
                let key = (self.key)(slot, value);
                let is_next = key > limit && next.is_none_or(|next| key < next);
                if is_next && stuck.is_none_or(|stuck| stuck.is_broken_by(slot, item)) {
                    next = Some(key);
                }
            });
        }
        next
    }
}
