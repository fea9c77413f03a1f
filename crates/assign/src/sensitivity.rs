//! What it would cost to force or to forbid each pair, after one solve of a sum.
//!
//! With the prices of a cheapest choice every pair has an excess of at least 0. From slot to slot leads the excess of
//! the one for the item
//! of the other; d is the shortest way. A slot can also go on to an item not in use, and the item that falls free at
//! the end
//! gives back its price, which is at most 0. Another choice differs from the cheapest one by such a way in a circle,
//! or by one way to an item
//! not in use and one from the item that is given up. So to force slot i to the item of slot k costs its excess and the
//! smaller of d(k, i) and the way of k to an item not in use with the release of i's item; to force an unused item,
//! its excess and
//! that release. Two ways that meet are never cheaper than the direct one. O(slots³ + pairs).
//!
//! # References
//! - R. W. Floyd, *Algorithm 97: shortest path*, Comm. ACM 5 (1962).

use crate::best::{Cost, Method};
use crate::grid::Grid;
use crate::problem::Problem;
use crate::region::Region;
use crate::sum;
use crate::watch::Watch;
use pairwright_proof::{Choice, Item, Slot};

/// What forcing or forbidding a pair would add to the least sum; made by [`sensitivity`].
#[derive(Clone, Debug)]
pub struct Sensitivity<'t> {
    cost: Cost<'t>,
    grid: Grid,
    choice: Choice,
    slot_of: Vec<Option<Slot>>,
    slot_price: Vec<i128>,
    item_price: Vec<i128>,
    /// For slots k and i, at k · slots + i: the shortest way from k to the item of i, or [`NO_WAY`] and more.
    ways: Vec<i128>,
    /// For every slot the shortest way to an item not in use.
    ways_out: Vec<Option<i128>>,
    /// For every slot what it costs at least to do without as many items as its own.
    release: Vec<Option<i128>>,
}

/// Longer than any way: costs are below 2¹⁰⁰.
const NO_WAY: i128 = 1 << 120;

/// The prices of single changes to the best value of a problem's first criterion.
///
/// `None` unless that is a total or squares from a target and the problem has no windows, or if it has no choice.
/// Criteria
/// after the first one are set aside.
///
/// # Examples
/// ```
/// use pairwright_assign::{Criterion, Item, Measure, Problem, Sense, Shape, Slot, Table, sensitivity};
///
/// let table = Table::from_cells(Shape { slots: 2, items: 2 }, &[Some(3), Some(1), Some(2), Some(4)])?;
/// let total = Criterion { table: &table, measure: Measure::Total, sense: Sense::Least, slack: 0 };
/// let prices = sensitivity(&Problem::new(vec![total], vec![])?).ok_or("a total has prices")?;
///
/// // The other choice has 7 instead of 3.
/// assert_eq!(prices.forcing(Slot::new(0), Item::new(0)), Some(4));
/// assert_eq!(prices.forbidding(Slot::new(0), Item::new(1)), Some(4));
/// assert_eq!(prices.forbidding(Slot::new(0), Item::new(0)), Some(0));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn sensitivity<'t>(problem: &Problem<'t>) -> Option<Sensitivity<'t>> {
    let Method::Sum(cost) = Method::of(problem.criteria().first()?) else {
        return None;
    };
    if !problem.windows().is_empty() {
        return None;
    }
    Sensitivity::of(cost, Region::whole(problem))
}

impl<'t> Sensitivity<'t> {
    pub(crate) fn of(cost: Cost<'t>, region: Region<'t>) -> Option<Self> {
        let Region { grid, must, .. } = region;
        let assigned = sum::cheapest_of(&cost, &grid, &must, &Watch::unlimited())?;
        let prices = assigned.prices(&must)?;
        let mut slot_of = vec![None; grid.item_count()];
        for (slot, item) in grid.slots().zip(&assigned.choice) {
            slot_of[item.index()] = Some(slot);
        }
        let mut item_price = vec![0; grid.item_count()];
        for &(item, price) in &prices.items {
            item_price[item.index()] = price;
        }
        let slots = grid.slot_count();
        let mut found = Self {
            cost,
            grid,
            choice: Choice::new(assigned.choice),
            slot_of,
            slot_price: prices.slots,
            item_price,
            ways: vec![NO_WAY; slots * slots],
            ways_out: vec![None; slots],
            release: Vec::new(),
        };
        found.walk();
        found.go_out();
        let given_back = |&item: &Item| (!must.has(item.index())).then(|| -found.item_price[item.index()]);
        let given_back: Vec<Option<i128>> = found.choice.items().iter().map(given_back).collect();
        let release = |to: usize| {
            let starts = (0..slots).filter_map(|from| Some(found.way(from, to)? + given_back[from]?));
            starts.min()
        };
        found.release = (0..slots).map(release).collect();
        Some(found)
    }

    /// The cheapest choice from which all is counted.
    pub fn choice(&self) -> &Choice {
        &self.choice
    }

    /// How much worse the best choice with this pair is; 0 for the pairs of a best choice, `None` if no choice has
    /// the pair.
    pub fn forcing(&self, slot: Slot, item: Item) -> Option<i128> {
        let is_there = slot.index() < self.grid.slot_count() && item.index() < self.grid.item_count();
        if !is_there || !self.grid.has(slot, item) {
            return None;
        }
        if self.choice.item(slot) == Some(item) {
            return Some(0);
        }
        let release = self.release[slot.index()];
        let rest = match self.slot_of[item.index()] {
            None => release,
            Some(holder) => {
                let direct = self.way(holder.index(), slot.index());
                let around = self.ways_out[holder.index()].zip(release).map(|(out, release)| out + release);
                smaller(direct, around)
            }
        };
        Some(self.excess(slot, item) + rest?)
    }

    /// How much worse the best choice without this pair is; `None` if every choice has the pair. 0 for a pair that
    /// the choice does
    /// not have.
    pub fn forbidding(&self, slot: Slot, item: Item) -> Option<i128> {
        if self.choice.item(slot) != Some(item) {
            return Some(0);
        }
        self.grid.items_of(slot).filter(|&other| other != item).filter_map(|other| self.forcing(slot, other)).min()
    }

    /// By how much the cost of a pair can change, the others unchanged, so that the choice stays among the best: a
    /// pair of the choice can grow dearer by the number given, any other one cheaper; `None` is any amount.
    ///
    /// The cost is the value for a least total, the value turned for a greatest one, the squared distance for squares.
    pub fn room(&self, slot: Slot, item: Item) -> Option<i128> {
        if self.choice.item(slot) == Some(item) { self.forbidding(slot, item) } else { self.forcing(slot, item) }
    }

    fn excess(&self, slot: Slot, item: Item) -> i128 {
        self.cost.of(slot, item) - self.slot_price[slot.index()] - self.item_price[item.index()]
    }

    /// Shortest ways between slots.
    fn walk(&mut self) {
        let slots = self.grid.slot_count();
        for from in self.grid.slots() {
            for (to, &item) in self.choice.items().iter().enumerate() {
                let at = from.index() * slots + to;
                if from.index() == to {
                    self.ways[at] = 0;
                } else if self.grid.has(from, item) {
                    self.ways[at] = self.excess(from, item);
                }
            }
        }
        for by in 0..slots {
            let second = self.ways[by * slots..(by + 1) * slots].to_vec();
            for row in self.ways.chunks_mut(slots) {
                let first = row[by];
                if first < NO_WAY {
                    for (way, second) in row.iter_mut().zip(&second) {
                        *way = (*way).min(first + second);
                    }
                }
            }
        }
    }

    fn way(&self, from: usize, to: usize) -> Option<i128> {
        Some(self.ways[from * self.grid.slot_count() + to]).filter(|&way| way < NO_WAY)
    }

    /// Shortest ways to items not in use.
    fn go_out(&mut self) {
        let slots = self.grid.slot_count();
        let out = |slot: Slot| {
            let free = self.grid.items_of(slot).filter(|item| self.slot_of[item.index()].is_none());
            free.map(|item| self.excess(slot, item)).min()
        };
        let direct: Vec<Option<i128>> = self.grid.slots().map(out).collect();
        let ways = |from: usize| {
            let by = (0..slots).filter_map(|by| Some(self.way(from, by)? + direct[by]?));
            by.min()
        };
        self.ways_out = (0..slots).map(ways).collect();
    }
}

/// The smaller of two ways, where there are any.
fn smaller(one: Option<i128>, other: Option<i128>) -> Option<i128> {
    match (one, other) {
        (Some(one), Some(other)) => Some(one.min(other)),
        (one, other) => one.or(other),
    }
}
