//! An assignment about a sum, from the prices of assignments about other sums.
//!
//! The cost of a pair is linear in the sum, so between two sums whose prices are known the prices in between are prices, too,
//! and nearly the best. Given any item prices of at most 0, a slot's price is its least cost beyond them; slots keep an item that
//! costs no more, the others are served by shortest ways in excesses (Dijkstra over the items).
//!
//! Items not in use have the price 0 in the end. One that is not in use and has a lower price is *owed*: it ends a way. An item of
//! price 0 not in use ends a way as well as long as there will be enough slots for those owed; after that, whoever takes one
//! makes another item fall free, which costs what the price of that one is below 0, and the way goes on from there until it
//! comes to one that is owed. O(slots · items) for reading the table, and that again at most for each slot not served at once.
//!
//! # References
//! - R. Jonker and A. Volgenant, *A shortest augmenting path algorithm for dense and sparse linear assignment problems*,
//!   Computing 38 (1987): ways from any prices.

use crate::grid::Grid;
use pairwright_proof::{Item, Table};

/// Distances of all pairs, and room to search in.
pub(super) struct Resume {
    slots: usize,
    items: usize,
    /// The distances from the anchor, slot after slot; [`ABSENT`] where there is no pair.
    away: Vec<i64>,
    /// From prices farther below 0 nothing starts.
    largest_price: u64,
    search: Search,
}

/// A cheapest choice, with the prices of the items.
#[derive(Clone, Debug)]
pub(super) struct Resumed {
    pub(super) choice: Vec<Item>,
    pub(super) prices: Vec<i64>,
}

#[derive(Default)]
struct Search {
    /// Items in use or owed that the search has not come to for good.
    open: Vec<Step>,
    done: Vec<Step>,
    /// Items of price 0 not in use.
    spare: Vec<usize>,
    /// The slot from which the search came to an item, or [`NONE`] for the way over one to spare.
    before: Vec<usize>,
}

#[derive(Clone, Copy)]
struct Step {
    item: usize,
    price: i64,
    reach: i64,
    from: usize,
}

struct State {
    item_of: Vec<usize>,
    slot_of: Vec<usize>,
    slot_price: Vec<i64>,
    prices: Vec<i64>,
    /// So many ways may still end at an item to spare; below 0, so many ways begin there.
    demand: isize,
}

const ABSENT: i64 = i64::MAX;
const NONE: usize = usize::MAX;

impl Resume {
    /// `None` if there may be no room for what comes of the costs.
    pub(super) fn new(grid: &Grid, table: &Table, anchor: i64) -> Option<Self> {
        let (slots, items) = (grid.slot_count(), grid.item_count());
        let mut away = vec![ABSENT; slots * items];
        let mut farthest = 0;
        for (slot, row) in grid.slots().zip(away.chunks_mut(items.max(1))) {
            grid.each_value(slot, table.row(slot), |item, value| {
                row[item.index()] = value - anchor;
                farthest = farthest.max(value - anchor);
            });
        }
        let (count, farthest) = (slots as i128, i128::from(farthest));
        // About sums of distances a pair costs at most n times the square of the farthest, either way. With costs up to L and
        // prices to start from down to -P, at most n of them not 0, all ways together are no longer than 2n·(L + P); prices sink
        // and rise by no more, and a way is compared that has one cost and two prices more.
        let largest = count * farthest * farthest;
        let room = i128::from(i64::MAX) / (6 * count + 4) - largest;
        let largest_price = u64::try_from(room).ok().filter(|_| room >= largest)?;
        Some(Self { slots, items, away, largest_price, search: Search::default() })
    }

    /// The cheapest choice about a sum; slots that have the item of `like` at the least price keep it. `None` if there is none.
    pub(super) fn cheapest(&mut self, about: i64, mut prices: Vec<i64>, like: Option<&[Item]>) -> Option<Resumed> {
        if let Some(like) = like.filter(|_| self.items > self.slots) {
            // Hardly any other item is in use now, and one that is owed in vain takes a way.
            let mut in_use = vec![0; self.items];
            for item in like {
                in_use[item.index()] = prices[item.index()];
            }
            prices = in_use;
        }
        let costs =
            Costs { slots: i64::try_from(self.slots).ok()?, twice: 2 * about, items: self.items, away: &self.away };
        let mut state = State::begin(&costs, prices, like)?;
        let free: Vec<usize> = (0..self.slots).filter(|&slot| state.item_of[slot] == NONE).collect();
        for slot in free {
            state.serve(&costs, Some(slot), &mut self.search)?;
        }
        while state.demand < 0 {
            state.serve(&costs, None, &mut self.search)?;
        }
        let item = |&item: &usize| Item::new(u32::try_from(item).unwrap_or(u32::MAX));
        let is_inherited = state.prices.iter().all(|price| price.unsigned_abs() <= self.largest_price);
        let prices = if is_inherited { state.prices } else { vec![0; self.items] };
        Some(Resumed { choice: state.item_of.iter().map(item).collect(), prices })
    }
}

/// Prices at a sum between two others, from theirs.
pub(super) fn between(at: i128, [start, end]: [i128; 2], [left, right]: [&[i64]; 2]) -> Vec<i64> {
    let (part, whole) = (at - start, end - start);
    let price = |(&left, &right): (&i64, &i64)| {
        let price = i128::from(left) + ((i128::from(right) - i128::from(left)) * part).div_euclid(whole);
        i64::try_from(price).unwrap_or(0)
    };
    left.iter().zip(right).map(price).collect()
}

struct Costs<'a> {
    slots: i64,
    twice: i64,
    items: usize,
    away: &'a [i64],
}

impl Costs<'_> {
    fn row(&self, slot: usize) -> &[i64] {
        &self.away[slot * self.items..(slot + 1) * self.items]
    }

    /// What a distance costs.
    fn of(&self, away: i64) -> i64 {
        away * (self.slots * away - self.twice)
    }
}

impl State {
    fn begin(costs: &Costs<'_>, prices: Vec<i64>, like: Option<&[Item]>) -> Option<Self> {
        let slots = usize::try_from(costs.slots).ok()?;
        let mut state = Self {
            item_of: vec![NONE; slots],
            slot_of: vec![NONE; costs.items],
            slot_price: Vec::with_capacity(slots),
            prices,
            demand: costs.slots.try_into().ok()?,
        };
        let mut nearest = Vec::with_capacity(slots);
        for slot in 0..slots {
            let (mut least, mut at) = (ABSENT, NONE);
            let row = costs.row(slot);
            for (item, (&away, &price)) in row.iter().zip(&state.prices).enumerate() {
                if away != ABSENT && costs.of(away) - price < least {
                    (least, at) = (costs.of(away) - price, item);
                }
            }
            if at == NONE {
                return None;
            }
            state.slot_price.push(least);
            nearest.push(at);
            if let Some(own) = like.map(|like| like[slot].index())
                && row[own] != ABSENT
                && costs.of(row[own]) - state.prices[own] == least
            {
                state.put(slot, own);
            }
        }
        for (slot, item) in nearest.into_iter().enumerate() {
            if state.item_of[slot] == NONE && state.slot_of[item] == NONE {
                state.put(slot, item);
            }
        }
        let is_settled = |(&slot, &price): (&usize, &i64)| slot != NONE || price < 0;
        let settled = state.slot_of.iter().zip(&state.prices).filter(|&pair| is_settled(pair)).count();
        state.demand -= isize::try_from(settled).ok()?;
        Some(state)
    }

    fn put(&mut self, slot: usize, item: usize) {
        self.item_of[slot] = item;
        self.slot_of[item] = slot;
    }

    /// Serves a slot, or an item owed by way of one to spare.
    fn serve(&mut self, costs: &Costs<'_>, root: Option<usize>, search: &mut Search) -> Option<()> {
        search.start(self);
        // Where a way leads to an item to spare.
        let mut spare = Step { item: NONE, price: 0, reach: if root.is_some() { ABSENT } else { 0 }, from: NONE };
        let mut is_spared = root.is_none();
        let mut nearest = if is_spared { search.through_spare(0) } else { None };
        let mut next = root.map(|slot| (slot, 0));
        let (end, length) = loop {
            if let Some((slot, length)) = next {
                let base = length - self.slot_price[slot];
                nearest = search.through(costs, slot, base);
                if !is_spared {
                    search.to_spare(costs, slot, base, &mut spare);
                }
            }
            let reach = |nearest: Option<usize>| nearest.map_or(ABSENT, |at| search.open[at].reach);
            if !is_spared && spare.reach != ABSENT && spare.reach <= reach(nearest) {
                is_spared = true;
                if self.demand > 0 {
                    break (NONE, spare.reach);
                }
                nearest = search.through_spare(spare.reach);
            }
            let step = search.open.swap_remove(nearest?);
            search.before[step.item] = step.from;
            if self.slot_of[step.item] == NONE {
                break (step.item, step.reach);
            }
            next = Some((self.slot_of[step.item], step.reach));
            search.done.push(step);
        };
        let over_spare = if is_spared { length - spare.reach } else { 0 };
        self.raise(root, length, over_spare, search);
        if end == NONE {
            self.demand -= 1;
        } else {
            self.prices[end] += over_spare;
        }
        if root.is_none() {
            self.demand += 1;
        }
        self.shift(root, end, spare, search);
        Some(())
    }

    /// The prices after a way of this length of which so much lies behind an item to spare.
    fn raise(&mut self, root: Option<usize>, length: i64, over_spare: i64, search: &Search) {
        if let Some(root) = root {
            self.slot_price[root] += length;
        }
        for step in &search.done {
            let gain = length - step.reach;
            self.prices[step.item] -= gain;
            self.slot_price[self.slot_of[step.item]] += gain;
        }
        if over_spare > 0 {
            for item in search.done.iter().chain(&search.open).map(|step| step.item) {
                self.prices[item] += over_spare;
                // One that was owed is so no more.
                self.demand += isize::from(self.slot_of[item] == NONE && self.prices[item] == 0);
            }
            self.slot_price.iter_mut().for_each(|price| *price -= over_spare);
        }
    }

    /// Moves everyone along the way to its end.
    fn shift(&mut self, root: Option<usize>, end: usize, spare: Step, search: &Search) {
        let mut item = end;
        loop {
            let over_spare = item == NONE || search.before[item] == NONE;
            if over_spare && item != NONE {
                // It falls free, or is owed no more.
                self.slot_of[item] = NONE;
                self.prices[item] = 0;
            }
            let (slot, taken) = if over_spare { (spare.from, spare.item) } else { (search.before[item], item) };
            if slot == NONE {
                return;
            }
            let own = self.item_of[slot];
            self.put(slot, taken);
            if Some(slot) == root {
                return;
            }
            item = own;
        }
    }
}

impl Search {
    fn start(&mut self, state: &State) {
        self.open.clear();
        self.done.clear();
        self.spare.clear();
        self.before.resize(state.slot_of.len(), NONE);
        for (item, (&slot, &price)) in state.slot_of.iter().zip(&state.prices).enumerate() {
            if slot == NONE && price == 0 {
                self.spare.push(item);
            } else {
                self.open.push(Step { item, price, reach: ABSENT, from: NONE });
            }
        }
    }

    /// Lengthens the ways by a slot, and gives the place of the nearest open item.
    fn through(&mut self, costs: &Costs<'_>, slot: usize, base: i64) -> Option<usize> {
        let row = costs.row(slot);
        self.nearest(|step| {
            let away = row[step.item];
            if away != ABSENT {
                let reach = base + costs.of(away) - step.price;
                if reach < step.reach {
                    (step.reach, step.from) = (reach, slot);
                }
            }
        })
    }

    /// The same by an item to spare: another one falls free.
    fn through_spare(&mut self, length: i64) -> Option<usize> {
        self.nearest(|step| {
            let reach = length - step.price;
            if reach < step.reach {
                (step.reach, step.from) = (reach, NONE);
            }
        })
    }

    fn nearest(&mut self, mut through: impl FnMut(&mut Step)) -> Option<usize> {
        let (mut least, mut nearest) = (ABSENT, None);
        for (at, step) in self.open.iter_mut().enumerate() {
            through(step);
            if step.reach < least {
                (least, nearest) = (step.reach, Some(at));
            }
        }
        nearest
    }

    fn to_spare(&self, costs: &Costs<'_>, slot: usize, base: i64, spare: &mut Step) {
        let row = costs.row(slot);
        for &item in &self.spare {
            let away = row[item];
            if away != ABSENT && base + costs.of(away) < spare.reach {
                *spare = Step { item, price: 0, reach: base + costs.of(away), from: slot };
            }
        }
    }
}

#[cfg(test)]
mod tests;
