//! What a cheapest choice says of all others: prices, and the pairs that no choice within so much of it uses.

use crate::best::Cost;
use crate::grid::{Bits, Grid};
use crate::rows::{RowCosts, Rows};
use crate::weight::{Ranked, Weight};
use pairwright_proof::{Item, Prices, Slot};
use std::collections::BTreeMap;

/// A cheapest choice with the prices that prove it.
#[derive(Clone, Debug)]
pub(crate) struct Assigned {
    pub(crate) choice: Vec<Item>,
    /// Its total cost.
    pub(crate) total: i128,
    pub(super) slot_price: Vec<Ranked>,
    /// Items whose price is not 0, ascending.
    pub(super) priced: Vec<(Item, Ranked)>,
    pub(super) bonus: Bonus,
}

/// How the use of an item that must be used is rewarded.
#[derive(Clone, Copy, Debug)]
pub(super) enum Bonus {
    /// By so much less cost.
    Cost(i128),
    /// By a rank that goes before all cost.
    Rank,
}

impl Bonus {
    pub(super) fn apply(self, must: &Bits, item: Item, cost: i128) -> Ranked {
        match self {
            _ if !must.has(item.index()) => Ranked { rank: 0, cost },
            Self::Cost(bonus) => Ranked { rank: 0, cost: cost - bonus },
            Self::Rank => Ranked { rank: -1, cost },
        }
    }
}

impl Assigned {
    /// With its total counted.
    pub(super) fn costing(self, cost: impl Fn(Slot, Item) -> i128) -> Self {
        let total = (0..).map(Slot::new).zip(&self.choice).map(|(slot, &item)| cost(slot, item)).sum();
        Self { total, ..self }
    }

    /// The prices as a checker reads them: that of an item that must be used without its bonus. `None` if they do not
    /// stand in plain numbers.
    pub(crate) fn prices(&self, must: &Bits) -> Option<Prices> {
        let Bonus::Cost(bonus) = self.bonus else {
            return None;
        };
        let slots = self.slot_price.iter().map(|price| price.cost).collect();
        if must.is_empty() {
            return Some(Prices {
                slots,
                items: self.priced.iter().map(|&(item, price)| (item, price.cost)).collect(),
            });
        }
        let mut items: BTreeMap<Item, i128> = must.iter().map(|item| (Item::new(item), bonus)).collect();
        for &(item, price) in &self.priced {
            *items.entry(item).or_insert(0) += price.cost;
        }
        Some(Prices { slots, items: items.into_iter().filter(|&(_, price)| price != 0).collect() })
    }

    /// Whether no item can make a choice cheaper that none of the columns is and that costs this slot so much.
    pub(crate) fn does_without(&self, slot: Slot, cost: i128) -> bool {
        Ranked { rank: 0, cost } >= self.slot_price[slot.index()]
    }

    /// [`keep_within`](Self::keep_within) by a criterion, a row at a time where that can be.
    pub(crate) fn keep_of(&self, cost: &Cost<'_>, grid: &mut Grid, must: &mut Bits, leftover: i128) {
        if self.keep_by_rows(cost, grid, must, leftover).is_none() {
            self.keep_within(grid, must, leftover, |slot, item| cost.of(slot, item));
        }
    }

    /// `None`, and nothing dropped, where something is rewarded or does not stand in a word.
    fn keep_by_rows(&self, cost: &Cost<'_>, grid: &mut Grid, must: &mut Bits, leftover: i128) -> Option<()> {
        let most = i64::try_from(leftover).ok()?;
        let rows = RowCosts::new(*cost, None);
        let word = |price: Ranked| i64::try_from(price.cost).ok().filter(|price| price.unsigned_abs() < 1 << 60);
        let mut price = vec![0; grid.item_count()];
        for &(item, priced) in &self.priced {
            price[item.index()] = word(priced)?;
        }
        let limits: Option<Vec<i64>> = self
            .slot_price
            .iter()
            .map(|&price| word(price)?.checked_add(most).filter(|&limit| limit < 1 << 61))
            .collect();
        let limits = limits.filter(|_| must.is_empty())?;
        let mut kept = grid.clone();
        let mut room = Vec::new();
        for (slot, limit) in grid.slots().zip(limits) {
            let costs = rows.row(slot.index(), &mut room);
            kept.keep_beside(slot, costs, &price, |cost, price| cost.wrapping_sub(price) <= limit);
        }
        if !rows.are_small() {
            return None;
        }
        *grid = kept;
        for &(item, priced) in &self.priced {
            if -priced.cost > leftover {
                must.set(item.index());
            }
        }
        Some(())
    }

    /// Drops pairs that no choice within `leftover` of the cheapest total uses, and makes the items compulsory that
    /// none
    /// of them does without.
    ///
    /// With 0 exactly the cheapest choices are left: pairs without reduced cost, every item with a price used. Beyond
    /// that
    /// it is a first sieve.
    pub(crate) fn keep_within(
        &self,
        grid: &mut Grid,
        must: &mut Bits,
        leftover: i128,
        cost: impl Fn(Slot, Item) -> i128,
    ) {
        let mut price = vec![Ranked::ZERO; grid.item_count()];
        for &(item, priced) in &self.priced {
            price[item.index()] = priced;
        }
        let most = Ranked { rank: 0, cost: leftover };
        let before = must.clone();
        grid.retain(|slot, item| {
            let cost = self.bonus.apply(&before, item, cost(slot, item));
            cost.minus(self.slot_price[slot.index()]).minus(price[item.index()]) <= most
        });
        for &(item, priced) in &self.priced {
            if Ranked::ZERO.minus(priced) > most {
                must.set(item.index());
            }
        }
    }
}
