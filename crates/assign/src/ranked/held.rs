//! A choice of a part, with prices that prove that none of the part costs less.

use super::costs::{Costs, Number};
use crate::best::Cost;
use crate::region::Region;
use crate::sum;
use crate::watch::Watch;
use pairwright_proof::Item;
use std::sync::Arc;

/// A part and a cheapest choice of it.
///
/// With the prices no pair of the part has an excess below 0 and those of the choice have none. Prices of items are at most 0,
/// and 0 for items not in use, which is why they stand by slot.
#[derive(Clone, Debug)]
pub(super) struct Held<W> {
    /// All choices of the part have the same items for so many slots; prices of those slots mean nothing.
    pub(super) kept: usize,
    /// What the slot after them may not take.
    pub(super) barred: Vec<Item>,
    pub(super) items: Arc<[Item]>,
    pub(super) slot_price: Vec<W>,
    /// The price of every slot's item.
    pub(super) item_price: Vec<W>,
    pub(super) total: i128,
}

/// Prices are larger than those that may be inherited.
#[derive(Clone, Copy, Debug)]
pub(super) struct NoRoom;

impl<W: Number> Held<W> {
    /// The part that is everything, if it has a choice; [`NoRoom`] if its prices do not stand in these numbers.
    pub(super) fn first(cost: &Cost<'_>, region: &Region<'_>, costs: &Costs<W>) -> Result<Option<Self>, NoRoom> {
        let Some(assigned) = sum::cheapest_of(cost, &region.grid, &region.must, &Watch::unlimited()) else {
            return Ok(None);
        };
        let prices = assigned.prices(&region.must).ok_or(NoRoom)?;
        let slot_price = prices.slots.iter().map(|&price| costs.price(price)).collect::<Option<_>>().ok_or(NoRoom)?;
        let price_of = |item: &Item| {
            let at = prices.items.binary_search_by_key(item, |&(item, _)| item);
            at.map_or(Some(W::ZERO), |at| costs.price(prices.items[at].1))
        };
        let item_price = assigned.choice.iter().map(price_of).collect::<Option<_>>().ok_or(NoRoom)?;
        let items: Arc<[Item]> = assigned.choice.into();
        let total = costs.total(&items);
        Ok(Some(Self { kept: 0, barred: Vec::new(), items, slot_price, item_price, total }))
    }

    /// What a slot may not take in this part, whatever the table says.
    pub(super) fn barred_at(&self, slot: usize) -> &[Item] {
        if slot == self.kept { &self.barred } else { &[] }
    }

    /// The same with another choice that has no excess either and leaves no item with a price.
    pub(super) fn with_choice(self, items: Arc<[Item]>, price_of: impl Fn(Item) -> W) -> Self {
        let item_price = items.iter().map(|&item| price_of(item)).collect();
        Self { items, item_price, ..self }
    }
}
