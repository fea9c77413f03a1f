//! Taking pairs away until no choice is left.

use crate::best::{Cost, Method};
use crate::grid::{Bits, Grid};
use crate::matching::{Matching, Violator};
use crate::problem::Problem;
use crate::region::Region;
use crate::spread::{self, Stretch};
use crate::sum;
use crate::watch::Watch;
use pairwright_proof::{Item, Narrow, Refutation, Slot, Table, WindowRun};

/// Pairs that are left, and the limits not yet used.
#[derive(Clone)]
pub(super) struct Left<'t> {
    pub(super) grid: Grid,
    pub(super) must: Bits,
    pub(super) narrow: Vec<(Narrow, &'t Table, i64)>,
    /// Levels that are sums or squares, in order.
    pub(super) sums: Vec<usize>,
}

impl<'t> Left<'t> {
    /// What the limits of the first levels leave.
    pub(super) fn new(problem: &Problem<'t>, whole: &Region<'t>, limits: &[i128]) -> Self {
        let mut grid = whole.grid.clone();
        let mut narrow = Vec::new();
        let mut sums = Vec::new();
        for (place, (criterion, &limit)) in problem.criteria().iter().zip(limits).enumerate() {
            let table = criterion.table;
            match Method::of(criterion) {
                Method::Worst(key) => {
                    grid.keep_of_table(table, |value| i128::from(key.of(value)) <= limit);
                }
                Method::Spread => {
                    let width = i64::try_from(limit).unwrap_or(i64::MAX);
                    narrow.push((Narrow::Level(place), table, width));
                }
                Method::Sum(_) | Method::AboutMean => sums.push(place),
                Method::Far => {}
            }
        }
        for (place, window) in problem.windows().iter().enumerate() {
            narrow.push((Narrow::Window(place), window.table, window.width));
        }
        Self { grid, must: whole.must.clone(), narrow, sums }
    }
}

pub(super) struct Refuter<'a, 't> {
    pub(super) problem: &'a Problem<'t>,
    pub(super) limits: Vec<i128>,
    /// Pairs that may still be looked at.
    room: u64,
}

/// Pairs looked at, at most, for the proof of a level.
const ROOM: u64 = 100_000_000;

impl<'a, 't> Refuter<'a, 't> {
    pub(super) fn new(problem: &'a Problem<'t>, limits: Vec<i128>) -> Self {
        Self { problem, limits, room: ROOM }
    }

    /// Uses up room for one look at all pairs of a grid.
    pub(super) fn spend(&mut self, grid: &Grid) -> Option<()> {
        let pairs: u64 = grid.slots().flat_map(|slot| grid.row(slot)).map(|word| u64::from(word.count_ones())).sum();
        self.room = self.room.checked_sub(pairs + 1)?;
        Some(())
    }

    /// Why nothing that is left makes a choice; `None` if none was found.
    pub(super) fn refute(&mut self, mut left: Left<'t>) -> Option<Refutation> {
        self.spend(&left.grid)?;
        if self.is_below_zero() {
            return Some(Refutation::Never);
        }
        if let Some(&(of, ..)) = left.narrow.iter().find(|&&(.., width)| width < 0) {
            return Some(Refutation::Windows { of, runs: Vec::new() });
        }
        let mut matching = Matching::empty(&left.grid);
        if let Err(violator) = matching.complete(&left.grid, &left.must) {
            return Some(short(&violator));
        }
        if left.narrow.is_empty() {
            if left.sums.is_empty() {
                return None;
            }
            let level = left.sums.remove(0);
            return match Method::of(&self.problem.criteria()[level]) {
                Method::Sum(cost) => self.priced(left, level, &cost),
                _ => self.sums(&left, level),
            };
        }
        let (of, table, width) = left.narrow.remove(0);
        self.windows(&left, of, table, width)
    }

    /// Whether the goal is below what its measure can be.
    fn is_below_zero(&self) -> bool {
        let Some(level) = self.limits.len().checked_sub(1) else {
            return false;
        };
        let criterion = &self.problem.criteria()[level];
        let is_never_below = matches!(Method::of(criterion), Method::Spread | Method::AboutMean)
            || matches!(Method::of(criterion), Method::Sum(cost) if cost.is_never_below_zero());
        is_never_below && self.limits[level] < 0
    }

    fn priced(&mut self, mut left: Left<'t>, level: usize, cost: &Cost<'t>) -> Option<Refutation> {
        let assigned = sum::cheapest_of(cost, &left.grid, &left.must, &Watch::unlimited())?;
        let prices = assigned.prices(&left.must)?;
        let leftover = self.limits[level] - assigned.total;
        if leftover < 0 {
            return Some(Refutation::Prices { level, prices, then: None });
        }
        assigned.keep_of(cost, &mut left.grid, &mut left.must, leftover);
        let then = Some(Box::new(self.refute(left)?));
        Some(Refutation::Prices { level, prices, then })
    }

    fn windows(&mut self, left: &Left<'t>, of: Narrow, table: &'t Table, width: i64) -> Option<Refutation> {
        let mut reasons = Vec::new();
        let hold = |grid: &Grid| {
            reasons.push(self.refute(Left { grid: grid.clone(), ..left.clone() })?);
            Some(())
        };
        let stretches = spread::stretches(&left.grid, table, &left.must, width, hold)?;
        let run = |stretch: Stretch| match stretch {
            Stretch::Short { until, violator } => WindowRun { until, reason: short(&violator) },
            Stretch::Held { until, held } => WindowRun { until, reason: reasons[held].clone() },
        };
        Some(Refutation::Windows { of, runs: stretches.into_iter().map(run).collect() })
    }
}

fn short(violator: &Violator) -> Refutation {
    let named =
        |slots: &Bits, items: &Bits| (slots.iter().map(Slot::new).collect(), items.iter().map(Item::new).collect());
    match violator {
        Violator::Slots { slots, items } => {
            let (slots, items) = named(slots, items);
            Refutation::Slots { slots, items }
        }
        Violator::Items { items, slots } => {
            let (slots, items) = named(slots, items);
            Refutation::Items { items, slots }
        }
    }
}
