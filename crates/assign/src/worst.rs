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

use crate::first_prices::nearly_add_up;
use crate::grid::{Bits, Grid};
use crate::matching::{Matching, Violator};
use crate::spread::Lines;
use crate::start;
use crate::vectors::widely;
use crate::watch::Watch;
use pairwright_proof::{Item, Slot, Table};
use std::borrow::Cow;

/// Up to so many slots any choice is good enough to begin with.
const FEW: usize = 64;
/// The first step up from the lower bound is such a part of how far it is above the smallest key.
const STEPS: i64 = 8;

/// A further condition on the pairs left: a choice among them that meets it.
pub(crate) type Confirm<'a> = &'a dyn Fn(&Grid) -> Option<Vec<Item>>;

/// The least largest key and a choice that has it.
pub(crate) struct Held {
    pub(crate) key: i64,
    pub(crate) choice: Vec<Item>,
}

/// What is seen of the keys at a glance.
#[derive(Clone, Copy)]
struct Bound {
    /// No choice has a largest key below this.
    low: i64,
    /// The smallest key there is.
    smallest: i64,
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
        let Some(Bound { mut low, smallest }) = self.bound() else { return self.test(self.grid, &mut stuck).ok() };
        let mut below = Cow::Borrowed(self.grid);
        let mut held = match self.given() {
            Some(held) => held,
            None => match self.test_below(self.grid, low, &mut stuck) {
                Ok((held, _)) => return Some(held),
                Err(violator) => {
                    let step = low.saturating_sub(smallest) / STEPS;
                    low = self.next_key(self.grid, low, violator.as_ref()).unwrap_or(low);
                    if self.slots_are_few() {
                        self.test(self.grid, &mut stuck.clone()).ok()?
                    } else if let Some(held) = self.opposites() {
                        held
                    } else {
                        let (held, grid) = self.climb(&mut low, step, &mut stuck)?;
                        below = Cow::Owned(grid);
                        held
                    }
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
            match self.test_below(&below, limit, &mut matching) {
                Ok((better, grid)) => {
                    held = better;
                    below = Cow::Owned(grid);
                }
                Err(violator) => {
                    let next = self.next_key(&below, limit, violator.as_ref());
                    low = next.map_or(held.key, |next| next.min(held.key));
                    stuck = matching;
                }
            }
        }
        Some(held)
    }

    /// A choice a little above a lower bound, with the pairs it is one of: the bound rises by longer and longer steps. `None` if there
    /// is no choice at all.
    fn climb(&self, low: &mut i64, step: i64, stuck: &mut Matching) -> Option<(Held, Grid)> {
        let mut step = step.max(1);
        loop {
            let limit = low.saturating_add(step);
            let mut matching = stuck.clone();
            match self.test_below(self.grid, limit, &mut matching) {
                Ok(found) => return Some(found),
                Err(violator) => {
                    *low = self.next_key(self.grid, limit, violator.as_ref())?;
                    *stuck = matching;
                }
            }
            step = step.saturating_mul(2);
        }
    }

    /// `None` without slots.
    fn bound(&self) -> Option<Bound> {
        let all_used = self.grid.slot_count() == self.grid.item_count();
        let mut of_items = vec![i64::MAX; if all_used { self.grid.item_count() } else { 0 }];
        let mut bound: Option<Bound> = None;
        for slot in self.grid.slots() {
            let of_slot = self.least_of(slot, &mut of_items);
            let Bound { low, smallest } = bound.unwrap_or(Bound { low: of_slot, smallest: of_slot });
            bound = Some(Bound { low: low.max(of_slot), smallest: smallest.min(of_slot) });
        }
        let of_items = of_items.into_iter().max();
        bound.map(|bound| Bound { low: of_items.map_or(bound.low, |low| low.max(bound.low)), ..bound })
    }

    /// The least key of a slot; those of items, if they are asked for, come down to its keys.
    fn least_of(&self, slot: Slot, of_items: &mut [i64]) -> i64 {
        let row = self.table.row(slot);
        let mut least = i64::MAX;
        if !self.slots_are_few() && self.grid.has_all(slot) {
            widely(
                #[inline(always)]
                || {
                    for &value in row {
                        least = least.min((self.key)(slot, value));
                    }
                    for (of_item, &value) in of_items.iter_mut().zip(row) {
                        *of_item = (self.key)(slot, value).min(*of_item);
                    }
                },
            );
            return least;
        }
        self.grid.each_value(slot, row, |item, value| {
            let key = (self.key)(slot, value);
            least = least.min(key);
            if let Some(of_item) = of_items.get_mut(item.index()) {
                *of_item = key.min(*of_item);
            }
        });
        least
    }

    /// Whether any choice is good enough to begin with.
    fn slots_are_few(&self) -> bool {
        self.grid.slot_count() <= FEW || self.confirm.is_some()
    }

    /// What a test gives to start from.
    fn given(&self) -> Option<Held> {
        let only = start::given(self.grid, self.must)?;
        self.test(&only, &mut Matching::empty(&only)).ok()
    }

    /// Opposite pairs, where they are the best ones: where all items are used and values nearly add up.
    fn opposites(&self) -> Option<Held> {
        if self.grid.slot_count() != self.grid.item_count() || !nearly_add_up(self.table) {
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

    /// Tests those of some pairs with a key of at most `limit`, to all of which the matching keeps; gives them, too.
    fn test_below(&self, grid: &Grid, limit: i64, matching: &mut Matching) -> Result<(Held, Grid), Option<Violator>> {
        let mut below = grid.clone();
        for slot in below.slots() {
            below.keep_values(slot, self.table.row(slot), |value| (self.key)(slot, value) <= limit);
        }
        matching.take_free(&below);
        let held = self.test(&below, matching)?;
        Ok((held, below))
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

    /// The smallest key above `limit` of some pairs that could help.
    fn next_key(&self, grid: &Grid, limit: i64, stuck: Option<&Violator>) -> Option<i64> {
        let mut next: Option<i64> = None;
        for slot in grid.slots().filter(|&slot| stuck.is_none_or(|stuck| stuck.may_be_broken_at(slot))) {
            grid.each_value(slot, self.table.row(slot), |item, value| {
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
