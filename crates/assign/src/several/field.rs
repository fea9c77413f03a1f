//! The bundles of every slot.

use super::beside::Limits;
use super::problem::{SeveralError, SeveralProblem, bundles};
use pairwright_proof::{Bundles, Item, Pile, SeveralLimit, Slot, Table, Worth};

/// A bundle that a slot may have.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bundle {
    /// What the slot is worth with it, in ticks.
    pub(crate) value: i64,
    /// Its items, one bit each.
    pub(crate) items: u128,
    /// Its place in the lexicographic order of bundles.
    pub(crate) at: usize,
}

/// Every bundle that every slot may have, by value, then by place.
#[derive(Clone, Debug)]
pub(crate) struct Field {
    pub(crate) slots: Vec<Vec<Bundle>>,
    /// All bundles in lexicographic order.
    names: Vec<Vec<Item>>,
    /// What all slots keep together.
    pub(super) limits: Limits,
}

/// A bundle for every slot, as places in the lexicographic order.
pub(crate) type Chosen = Vec<Bundle>;

impl Field {
    pub(super) fn of(pile: Pile, worth: &Worth<'_>) -> Result<Self, SeveralError> {
        let too_large = SeveralError::TooLarge { pile };
        let most = SeveralProblem::MOST_BUNDLES / pile.slots.max(1);
        if pile.items > SeveralProblem::MOST_ITEMS || pile.slots > Table::MOST_SLOTS {
            return Err(too_large);
        }
        let names = bundles(pile, most).ok_or(too_large)?;
        let mut slots = Vec::with_capacity(pile.slots);
        for slot in (0..).map(Slot::new).take(pile.slots) {
            let mut of_slot = Vec::new();
            for (at, items) in names.iter().enumerate() {
                let Some(value) = worth.value(slot, items) else { continue };
                if !(-Table::LIMIT..=Table::LIMIT).contains(&value) {
                    return Err(SeveralError::Magnitude { slot, value });
                }
                let items = items.iter().fold(0, |bits, item| bits | 1 << item.index());
                of_slot.push(Bundle { value, items, at });
            }
            of_slot.sort_unstable_by_key(|bundle| (bundle.value, bundle.at));
            slots.push(of_slot);
        }
        Ok(Self { slots, names, limits: Limits::default() })
    }

    /// The same field under one limit more.
    pub(super) fn limited(mut self, at: usize, limit: &SeveralLimit<'_>) -> Result<Self, SeveralError> {
        self.limits = self.limits.with(at, limit, &mut self.slots, &self.names)?;
        Ok(self)
    }

    /// The part of the field that `keep` wants.
    pub(super) fn retain(&self, keep: impl Fn(usize, &Bundle) -> bool) -> Vec<Vec<Bundle>> {
        let slots = self.slots.iter().enumerate();
        slots.map(|(slot, list)| list.iter().filter(|bundle| keep(slot, bundle)).copied().collect()).collect()
    }

    pub(super) fn named(&self, chosen: &Chosen) -> Bundles {
        Bundles(chosen.iter().map(|bundle| self.names[bundle.at].clone()).collect())
    }

    /// The place of a bundle in the lexicographic order.
    pub(super) fn place(&self, items: &[Item]) -> Option<usize> {
        self.names.binary_search_by(|name| name.as_slice().cmp(items)).ok()
    }
}
