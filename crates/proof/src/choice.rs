//! One item for every slot.

use crate::{Item, Slot};

/// The item of every slot, in slot order.
///
/// A choice by itself promises nothing: whether it keeps the rules is what
/// [`check_choice`](crate::check_choice) says.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Choice(Vec<Item>);

impl Choice {
    /// The choice that gives slot `k` the `k`-th of these items.
    pub fn new(items: Vec<Item>) -> Self {
        Self(items)
    }

    /// The item of a slot; `None` if there is no such slot.
    pub fn item(&self, slot: Slot) -> Option<Item> {
        self.0.get(slot.index()).copied()
    }

    /// The slot an item went to; `None` if it was left out.
    pub fn slot(&self, item: Item) -> Option<Slot> {
        self.pairs().find(|&(_, used)| used == item).map(|(slot, _)| slot)
    }

    /// The items in slot order.
    pub fn items(&self) -> &[Item] {
        &self.0
    }

    /// Every slot with its item, slots ascending.
    pub fn pairs(&self) -> impl Iterator<Item = (Slot, Item)> + '_ {
        (0..).map(Slot::new).zip(self.0.iter().copied())
    }
}
