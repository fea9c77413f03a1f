//! What giving up a pair costs at least, for every pair of a choice, in one pass over the pairs of slots and items in use.
//!
//! A slot that gives up its item takes another one, and the item goes to another slot or stays unused: the way from the one
//! to the other has a first and a last step, and both have an excess.

use super::costs::{Costs, Number, excess, item};
use super::held::Held;
use pairwright_proof::Item;

/// What is known of a part before its choices are looked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bound<W> {
    /// By so much its choices cost more than the one that it is divided from.
    pub(super) by: W,
    /// The smallest item behind the one given up that the slot can take at the same cost, as far as that can be seen.
    pub(super) next: Option<Item>,
}

/// The bounds of all parts that a part has besides its choice, from the slot [`Held::kept`] on; `None` for a part without
/// choices.
pub(super) fn bounds<W: Number>(costs: &Costs<W>, held: &Held<W>) -> Vec<Option<Bound<W>>> {
    let (slots, items) = (costs.slots(), costs.items());
    let mut free = Vec::new();
    if items > slots {
        let mut is_free = vec![true; items];
        held.items.iter().for_each(|item| is_free[item.index()] = false);
        free.extend((0..items).filter(|&at| is_free[at]).map(item));
    }
    let back = |slot: usize| if free.is_empty() { W::ABSENT } else { W::ZERO.minus(held.item_price[slot]) };
    let mut last: Vec<W> = (held.kept..slots).map(back).collect();
    let mut first = Vec::with_capacity(last.len());
    for slot in held.kept..slots {
        let (row, price) = (costs.row(slot), held.slot_price[slot]);
        // Other slots' items that come to this one.
        for (earlier, last) in (held.kept..slot).zip(&mut last) {
            let step = excess(row[held.items[earlier].index()], price, held.item_price[earlier]);
            *last = step.min(*last);
        }
        let mut steps = Steps { least: W::ABSENT, next: None, own: held.items[slot], barred: held.barred_at(slot) };
        for later in slot + 1..slots {
            steps.see(held.items[later], excess(row[held.items[later].index()], price, held.item_price[later]));
        }
        for &item in &free {
            steps.see(item, excess(row[item.index()], price, W::ZERO));
        }
        first.push((steps.least, steps.next));
    }
    // A step is there for both ends, or the part is empty.
    let both = |((first, next), last): ((W, Option<Item>), W)| {
        (first != W::ABSENT && last != W::ABSENT).then(|| Bound { by: first.plus(last), next })
    };
    first.into_iter().zip(last).map(both).collect()
}

/// The first steps that a slot can take.
struct Steps<'a, W> {
    least: W,
    next: Option<Item>,
    own: Item,
    barred: &'a [Item],
}

impl<W: Number> Steps<'_, W> {
    fn see(&mut self, item: Item, step: W) {
        let goes_before = step == W::ZERO && item > self.own && self.next.is_none_or(|next| item < next);
        if (step < self.least || goes_before) && !self.barred.contains(&item) {
            self.least = step.min(self.least);
            if goes_before {
                self.next = Some(item);
            }
        }
    }
}
