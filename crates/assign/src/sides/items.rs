//! Items that go together, bring others along, or exclude each other.

use super::outcome::Side;
use super::rules::Part;
use crate::grid::Bits;
use pairwright_proof::{Along, Item, Sides};

/// The side conditions on which items are used, wherever they go.
#[derive(Clone, Debug)]
pub(crate) struct ItemRules {
    together: Vec<Vec<Item>>,
    along: Vec<Along>,
    exclusive: Vec<Vec<Item>>,
}

impl ItemRules {
    pub(crate) fn of(sides: &Sides<'_>, is_on: impl Fn(Side) -> bool) -> Self {
        let sets = |all: &[Vec<Item>], side: fn(usize) -> Side| {
            all.iter().enumerate().filter(|&(at, _)| is_on(side(at))).map(|(_, set)| set.clone()).collect()
        };
        let along = sides.along.iter().enumerate().filter(|&(at, _)| is_on(Side::Along(at))).map(|(_, pair)| *pair);
        Self {
            along: along.collect(),
            together: sets(&sides.together, Side::Together),
            exclusive: sets(&sides.exclusive, Side::Exclusive),
        }
    }

    pub(crate) fn are_kept_by(&self, choice: &[Item]) -> bool {
        let is_used = |item: &Item| choice.contains(item);
        let all_or_none = |set: &Vec<Item>| set.iter().all(is_used) || !set.iter().any(is_used);
        let at_most_one = |set: &Vec<Item>| choice.iter().filter(|item| set.contains(item)).count() <= 1;
        self.together.iter().all(all_or_none)
            && self.along.iter().all(|pair| !is_used(&pair.item) || is_used(&pair.with))
            && self.exclusive.iter().all(at_most_one)
    }

    /// Drops the pairs of items that cannot be used and makes those compulsory that must be; a contradiction shows in
    /// what is left.
    pub(crate) fn sieve(&self, part: &mut Part) {
        if self.together.is_empty() && self.along.is_empty() && self.exclusive.is_empty() {
            return;
        }
        let Known { used, live } = Known::of(part);
        let is_used = |item: &Item| used.has(item.index());
        let is_out = |item: &Item| !live.has(item.index());
        for set in &self.together {
            if set.iter().any(is_used) {
                for item in set {
                    part.must.set(item.index());
                }
            }
            if set.iter().any(is_out) {
                for &item in set {
                    part.grid.clear_item(item);
                }
            }
        }
        for pair in &self.along {
            if is_used(&pair.item) {
                part.must.set(pair.with.index());
            }
            if is_out(&pair.with) {
                part.grid.clear_item(pair.item);
            }
        }
        for set in &self.exclusive {
            if let Some(one) = set.iter().find(|item| is_used(item)) {
                for &item in set.iter().filter(|item| *item != one) {
                    part.grid.clear_item(item);
                }
            }
        }
    }
}

/// What is known of the items.
struct Known {
    /// Items that every choice uses, as far as can be seen.
    used: Bits,
    /// Items that some slot may take.
    live: Bits,
}

impl Known {
    fn of(part: &Part) -> Self {
        let mut used = part.must.clone();
        let mut live = Bits::none(part.grid.item_count());
        for slot in part.grid.slots() {
            live.union(part.grid.row(slot));
            let mut items = part.grid.items_of(slot);
            if let (Some(item), None) = (items.next(), items.next()) {
                used.set(item.index());
            }
        }
        Self { used, live }
    }
}
