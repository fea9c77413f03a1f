//! Least spread, and every place where a window of a given width holds a choice.
//!
//! The pairs are swept by value: the upper end takes pairs in, the lower end lets them go as soon as the window
//! is wider than the best spread so far. The matching is carried along; while the slots that compete for too few
//! items are
//! still short of them, no search is made. O(pairs · log pairs) for the order, and one augmenting path for every
//! matched pair that leaves.
//!
//! # References
//! - S. Martello, W. R. Pulleyblank, P. Toth and D. de Werra, *Balanced optimization problems*,
//!   Oper. Res. Lett. 3 (1984): the two moving ends.

mod ahead;
mod stretches;
mod wide;

use crate::grid::{Bits, Grid};
use crate::matching::{Matching, Violator};
use crate::start;
use crate::watch::Watch;
use crate::worst::Confirm;
pub(crate) use ahead::Lines;
use pairwright_proof::{Item, Slot, Table};
use std::ops::RangeInclusive;
pub(crate) use stretches::{Stretch, stretches};

/// Up to so many slots all pairs are sorted that can matter at a glance; beyond, buckets leave fewer.
const FEW: usize = 64;

/// The least spread, where its windows lie, and a choice that has it.
#[derive(Clone, Debug)]
pub(crate) struct Narrowest {
    pub(crate) spread: i64,
    /// The lower ends of all windows of that width that hold a choice, ascending.
    pub(crate) starts: Vec<i64>,
    pub(crate) choice: Vec<Item>,
}

/// A pair and its value.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pair {
    pub(crate) value: i64,
    pub(crate) slot: Slot,
    pub(crate) item: Item,
}

/// Pairs of so many slots and items, in any order.
#[derive(Clone)]
pub(crate) struct Pairs {
    pub(crate) slots: u32,
    pub(crate) items: usize,
    pub(crate) all: Vec<Pair>,
}

impl Pairs {
    /// The pairs of a grid with the values of a table.
    pub(crate) fn of(grid: &Grid, table: &Table) -> Self {
        Self::within(grid, table, i64::MIN..=i64::MAX)
    }

    /// Those with a value in a range.
    fn within(grid: &Grid, table: &Table, values: RangeInclusive<i64>) -> Self {
        let mut pairs = Vec::with_capacity(grid.pair_count());
        for slot in grid.slots() {
            let row = table.row(slot);
            let all = grid.items_of(slot).map(|item| Pair { value: row[item.index()], slot, item });
            pairs.extend(all.filter(|pair| values.contains(&pair.value)));
        }
        let slots = u32::try_from(grid.slot_count()).expect("a table has at most 2^20 slots");
        Self { slots, items: grid.item_count(), all: pairs }
    }
}

struct Sweep<'a> {
    /// By value; those that the window has left behind may be gone.
    pairs: Vec<Pair>,
    /// Pairs with larger values, some at a time.
    later: Option<Later<'a>>,
    /// Pairs `from..to` are in the window.
    from: usize,
    to: usize,
    inside: Grid,
    must: &'a Bits,
    matching: Matching,
    stuck: Option<Violator>,
    confirm: Option<Confirm<'a>>,
}

/// Gives pairs of rising values, all pairs of a value at once; none at all when there are no more.
type Later<'a> = Box<dyn FnMut() -> Vec<Pair> + 'a>;

impl<'a> Sweep<'a> {
    fn new(pairs: Pairs, must: &'a Bits, confirm: Option<Confirm<'a>>) -> Self {
        let Pairs { slots, items, all: mut pairs } = pairs;
        // Pairs of one value come and go together.
        pairs.sort_unstable_by_key(|pair| pair.value);
        let inside = Grid::none(slots, items);
        let matching = Matching::empty(&inside);
        Self { pairs, later: None, from: 0, to: 0, inside, must, matching, stuck: None, confirm }
    }

    /// Over pairs that are looked for when the window comes to them.
    fn over(shape: (u32, usize), later: Later<'a>, must: &'a Bits) -> Self {
        let (slots, items) = shape;
        Self { later: Some(later), ..Self::new(Pairs { slots, items, all: Vec::new() }, must, None) }
    }

    /// The smallest value inside.
    fn low(&self) -> Option<i64> {
        (self.from < self.to).then(|| self.pairs[self.from].value)
    }

    /// The next value to come in.
    fn next(&mut self) -> Option<i64> {
        if self.to == self.pairs.len()
            && let Some(later) = &mut self.later
        {
            let mut more = later();
            more.sort_unstable_by_key(|pair| pair.value);
            self.pairs.drain(..self.from);
            self.to -= self.from;
            self.from = 0;
            self.pairs.reserve_exact(more.len());
            self.pairs.append(&mut more);
        }
        self.pairs.get(self.to).map(|pair| pair.value)
    }

    /// Takes in all pairs of the next value.
    fn take(&mut self) {
        let value = self.next();
        while let Some(pair) = self.pairs.get(self.to).filter(|pair| Some(pair.value) == value) {
            self.inside.set(pair.slot, pair.item);
            if self.stuck.as_ref().is_some_and(|stuck| stuck.is_broken_by(pair.slot, pair.item)) {
                self.stuck = None;
            }
            self.to += 1;
        }
    }

    /// Lets all pairs of the smallest value go.
    fn drop_low(&mut self) {
        let value = self.low();
        while let Some(pair) = self.pairs[..self.to].get(self.from).filter(|pair| Some(pair.value) == value) {
            self.inside.clear(pair.slot, pair.item);
            self.matching.part(pair.slot, pair.item);
            self.from += 1;
        }
    }

    /// A choice inside the window.
    fn choice(&mut self) -> Option<Vec<Item>> {
        let mut choice = Vec::new();
        self.holds(&mut choice).then_some(choice)
    }

    /// Whether there is a choice inside the window, which is then put into `choice`.
    fn holds(&mut self, choice: &mut Vec<Item>) -> bool {
        if self.stuck.is_some() {
            return false;
        }
        if let Err(stuck) = self.matching.complete(&self.inside, self.must) {
            self.stuck = Some(stuck);
            return false;
        }
        match self.confirm.map(|confirm| confirm(&self.inside)) {
            None => self.matching.copy_to(choice),
            Some(Some(confirmed)) => *choice = confirmed,
            Some(None) => return false,
        }
        true
    }
}

/// What a test gives to start from. Its windows are met again in the sweep.
fn given(pairs: &Pairs, must: &Bits, confirm: Option<Confirm<'_>>) -> Option<Narrowest> {
    if !start::is_given() {
        return None;
    }
    let mut grid = Grid::none(pairs.slots, pairs.items);
    for pair in &pairs.all {
        grid.set(pair.slot, pair.item);
    }
    let only = start::given(&grid, must)?;
    let choice =
        confirm.map_or_else(|| Some(only.pairs().map(|(_, item)| item).collect()), |confirm| confirm(&only))?;
    let chosen = pairs.all.iter().filter(|pair| only.has(pair.slot, pair.item)).map(|pair| pair.value);
    of_values(&chosen.collect::<Vec<_>>(), choice)
}

/// The same from a grid, where nothing has to be confirmed.
fn given_of(grid: &Grid, table: &Table, must: &Bits) -> Option<Narrowest> {
    let choice: Vec<Item> = start::given(grid, must)?.pairs().map(|(_, item)| item).collect();
    let values: Vec<i64> = grid.slots().zip(&choice).map(|(slot, item)| table.row(slot)[item.index()]).collect();
    of_values(&values, choice)
}

/// A choice with these values, its windows not told yet.
fn of_values(values: &[i64], choice: Vec<Item>) -> Option<Narrowest> {
    let spread = values.iter().max()? - values.iter().min()?;
    Some(Narrowest { spread, starts: Vec::new(), choice })
}

/// The least spread over all choices of a grid that use all of `must`. Ended early, the best met, if any.
pub(crate) fn least_of(grid: &Grid, table: &Table, must: &Bits, watch: &Watch<'_>) -> Option<Narrowest> {
    if grid.slot_count() > FEW {
        return wide::least(grid, table, must, watch);
    }
    let pairs = match ahead::values_that_matter(grid, table) {
        Some(values) => Pairs::within(grid, table, values),
        None => Pairs::of(grid, table),
    };
    least(pairs, must, None, watch)
}

/// The least spread over all choices among these pairs that use all of `must` and are confirmed. Ended early, the best
/// met, if any.
pub(crate) fn least(pairs: Pairs, must: &Bits, confirm: Option<Confirm<'_>>, watch: &Watch<'_>) -> Option<Narrowest> {
    let given = given(&pairs, must, confirm);
    least_within(Sweep::new(pairs, must, confirm), i64::MAX, given, watch)
}

/// The same, of choices with at most this spread.
fn least_within(mut sweep: Sweep<'_>, widest: i64, given: Option<Narrowest>, watch: &Watch<'_>) -> Option<Narrowest> {
    let mut best = given.filter(|given| given.spread <= widest);
    if sweep.inside.slot_count() == 0 {
        return sweep.choice().map(|choice| Narrowest { spread: 0, starts: vec![0], choice });
    }
    let mut met = Vec::new();
    while let Some(high) = sweep.next().filter(|_| watch.goes_on()) {
        sweep.take();
        let widest = best.as_ref().map_or(widest, |best| best.spread);
        while sweep.low().is_some_and(|low| high - low > widest) {
            sweep.drop_low();
        }
        let mut tightest = None;
        while let Some(low) = sweep.low().filter(|_| sweep.holds(&mut met)) {
            tightest = Some(low);
            sweep.drop_low();
        }
        if let Some(low) = tightest {
            let spread = high - low;
            match &mut best {
                Some(best) if best.spread == spread => best.starts.push(low),
                _ => best = Some(Narrowest { spread, starts: vec![low], choice: met.clone() }),
            }
        }
    }
    best
}

/// The smallest and the largest value of every window that holds a confirmed choice and has no other such window inside,
/// ascending.
pub(crate) fn narrow_windows(pairs: Pairs, must: &Bits, confirm: Option<Confirm<'_>>) -> Vec<(i64, i64)> {
    let mut sweep = Sweep::new(pairs, must, confirm);
    let (mut all, mut met) = (Vec::new(), Vec::new());
    while let Some(high) = sweep.next() {
        sweep.take();
        let mut tightest = None;
        while let Some(low) = sweep.low().filter(|_| sweep.holds(&mut met)) {
            tightest = Some(low);
            sweep.drop_low();
        }
        all.extend(tightest.map(|low| (low, high)));
    }
    all
}

/// The lower ends, ascending, of all windows of this width that hold a choice and are not part of the window before.
pub(crate) fn starts(pairs: Pairs, must: &Bits, width: i64, confirm: Option<Confirm<'_>>) -> Vec<i64> {
    let mut sweep = Sweep::new(pairs, must, confirm);
    let mut starts = Vec::new();
    let mut met = Vec::new();
    if width < 0 {
        return starts;
    }
    if sweep.inside.slot_count() == 0 {
        starts.extend(sweep.choice().map(|_| 0));
    }
    while let Some(low) = sweep.low().or_else(|| sweep.next()) {
        let before = sweep.to;
        while sweep.next().is_some_and(|value| value.saturating_sub(low) <= width) {
            sweep.take();
        }
        if sweep.to > before && sweep.holds(&mut met) {
            starts.push(low);
        }
        if sweep.next().is_none() {
            break;
        }
        sweep.drop_low();
    }
    starts
}
