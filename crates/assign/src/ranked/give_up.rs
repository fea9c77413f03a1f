//! The cheapest choice of a part in which a slot gives up its item, from the choice of the part and its prices.
//!
//! The slot moves on to an item of another slot, which moves on in turn, until one takes the item given up: a shortest way
//! in excesses (Dijkstra over the items in use). Where there are items to spare a slot can also take one of those; then an
//! item in use falls free, which costs what its price is below 0, and that is the item given up or the way goes on from the slot
//! that had it. O(slots · items).

use super::costs::{Costs, Number, item};
use super::held::Held;
use crate::weight::Weight;
use pairwright_proof::Item;
use std::sync::Arc;

/// Room to search in, kept from one search to the next.
#[derive(Clone, Debug)]
pub(super) struct Room<W> {
    open: Vec<Step<W>>,
    done: Vec<Step<W>>,
    /// The slot from which the search came to a slot's item, or [`SPARE`].
    before: Vec<usize>,
    /// Items not in use, ascending.
    free: Vec<Item>,
    /// What the slot that gives up its item can take, and for how much.
    root: Vec<W>,
}

/// An item of a slot, or one to spare, as far as the way to it is known.
#[derive(Clone, Copy, Debug)]
struct Step<W> {
    slot: usize,
    item: Item,
    price: W,
    reach: W,
    from: usize,
}

/// Where a way comes from when the item falls free for one to spare.
const SPARE: usize = usize::MAX;

impl<W: Number> Step<W> {
    fn to(held: &Held<W>, slot: usize) -> Self {
        Self { slot, item: held.items[slot], price: held.item_price[slot], reach: W::ABSENT, from: SPARE }
    }

    /// Comes to it this way, if that is shorter; `before` is the way with the cost and without the price.
    fn come(&mut self, before: W, from: usize) {
        let reach = before.minus(self.price);
        if reach < self.reach {
            self.reach = reach;
            self.from = from;
        }
    }
}

impl<W: Number> Room<W> {
    pub(super) fn new(slots: usize) -> Self {
        let before = vec![SPARE; slots];
        Self { open: Vec::new(), done: Vec::new(), before, free: Vec::new(), root: Vec::new() }
    }

    /// The part of `held` in which a slot from [`Held::kept`] on gives up its item and those before it keep theirs; `None` if
    /// it has no choice.
    pub(super) fn give_up(&mut self, costs: &Costs<W>, held: &Held<W>, root: usize) -> Option<Held<W>> {
        self.start(costs, held, root);
        let mut target = Step::to(held, root);
        // The nearest item to spare, and the way to it.
        let mut spare = Step { slot: SPARE, item: target.item, price: W::ZERO, ..target };
        let mut is_spared = false;
        let (mut slot, mut length) = (root, W::ZERO);
        loop {
            let row = if slot == root { &self.root } else { costs.row(slot) };
            let base = length.minus(held.slot_price[slot]);
            let through = |step: &mut Step<W>| {
                let cost = row[step.item.index()];
                if cost != W::ABSENT {
                    step.come(base.plus(cost), slot);
                }
            };
            through(&mut target);
            let mut nearest = nearest(&mut self.open, through);
            if !is_spared {
                for &item in &self.free {
                    let cost = row[item.index()];
                    if cost != W::ABSENT && base.plus(cost) < spare.reach {
                        spare = Step { item, reach: base.plus(cost), from: slot, ..spare };
                    }
                }
                if spare.reach < target.reach && spare.reach <= reach_at(&self.open, nearest) {
                    is_spared = true;
                    let through = |step: &mut Step<W>| step.come(spare.reach, SPARE);
                    through(&mut target);
                    nearest = self::nearest(&mut self.open, through);
                }
            }
            if target.reach <= reach_at(&self.open, nearest) {
                break;
            }
            let step = self.open.swap_remove(nearest?);
            self.before[step.slot] = step.from;
            (slot, length) = (step.slot, step.reach);
            self.done.push(step);
        }
        if target.reach == W::ABSENT {
            return None;
        }
        self.before[root] = target.from;
        Some(self.shifted(held, root, target.reach, is_spared.then_some(spare)))
    }

    fn start(&mut self, costs: &Costs<W>, held: &Held<W>, root: usize) {
        let (slots, items) = (costs.slots(), costs.items());
        self.open.clear();
        self.done.clear();
        self.open.extend((root + 1..slots).map(|slot| Step::to(held, slot)));
        self.root.clear();
        self.root.extend_from_slice(costs.row(root));
        for barred in held.barred_at(root).iter().chain([&held.items[root]]) {
            self.root[barred.index()] = W::ABSENT;
        }
        self.free.clear();
        if items > slots {
            let mut is_free = vec![true; items];
            held.items.iter().for_each(|item| is_free[item.index()] = false);
            self.free.extend((0..items).filter(|&at| is_free[at]).map(item));
        }
    }

    /// The choice at the end of a way of this length, with its prices.
    fn shifted(&self, held: &Held<W>, root: usize, length: W, spare: Option<Step<W>>) -> Held<W> {
        let (mut slot_price, mut item_price) = (held.slot_price.clone(), held.item_price.clone());
        slot_price[root] = slot_price[root].plus(length);
        for step in &self.done {
            let gain = length.minus(step.reach);
            slot_price[step.slot] = slot_price[step.slot].plus(gain);
            item_price[step.slot] = item_price[step.slot].minus(gain);
        }
        // Items to spare keep the price 0.
        if let Some(gain) = spare.map(|spare| length.minus(spare.reach)).filter(|&gain| gain != W::ZERO) {
            for slot in root..slot_price.len() {
                slot_price[slot] = slot_price[slot].minus(gain);
                item_price[slot] = item_price[slot].plus(gain);
            }
        }
        let mut items = held.items.to_vec();
        let of_item = item_price.clone();
        let mut at = root;
        loop {
            let from = self.before[at];
            let (slot, item, price) = match spare {
                Some(spare) if from == SPARE => (spare.from, spare.item, W::ZERO),
                _ => (from, held.items[at], of_item[at]),
            };
            items[slot] = item;
            item_price[slot] = price;
            at = slot;
            if at == root {
                break;
            }
        }
        let mut barred = held.barred_at(root).to_vec();
        barred.push(held.items[root]);
        let total = held.total + length.into();
        Held { kept: root, barred, items: Arc::from(items), slot_price, item_price, total }
    }
}

/// Comes to every open item, and gives the place of the nearest one.
fn nearest<W: Number>(open: &mut [Step<W>], mut through: impl FnMut(&mut Step<W>)) -> Option<usize> {
    let mut nearest = None;
    let mut least = W::ABSENT;
    for (at, step) in open.iter_mut().enumerate() {
        through(step);
        if step.reach < least {
            least = step.reach;
            nearest = Some(at);
        }
    }
    nearest
}

fn reach_at<W: Weight>(open: &[Step<W>], at: Option<usize>) -> W {
    at.map_or(W::ABSENT, |at| open[at].reach)
}
