//! Windows, side conditions and limits on criteria, ready to be carried through what is still open.

use super::items::ItemRules;
use super::outcome::Side;
use super::problem::SidedProblem;
use crate::best::{Method, score};
use crate::grid::{Bits, Grid};
use crate::region::Region;
use pairwright_proof::{Criterion, Item, Measure, Neighbour, Sense, Slot, Table};

/// The choices that use only pairs of `grid` and every item of `must`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Part {
    pub(crate) grid: Grid,
    pub(crate) must: Bits,
}

/// A criterion whose score may not be above `most`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Limit<'t> {
    pub(crate) criterion: Criterion<'t>,
    pub(crate) most: i128,
}

/// Every condition that pairs alone do not express.
#[derive(Clone, Debug)]
pub(crate) struct Rules<'t> {
    pub(crate) limits: Vec<Limit<'t>>,
    pub(crate) neighbours: Vec<Neighbour<'t>>,
    pub(crate) items: ItemRules,
}

impl Part {
    /// All pairs that every table and change allows, those of the side conditions included.
    pub(crate) fn whole(sided: &SidedProblem<'_>) -> Region<'static> {
        let Region { mut grid, must, .. } = Region::whole(sided.problem());
        for table in sided.sides().tables() {
            grid.keep_of_table(table, |value| value != Table::FORBIDDEN);
        }
        Region { grid, must, budgets: Vec::new() }
    }
}

impl Limit<'_> {
    fn is_kept_by(&self, choice: &[Item]) -> bool {
        score(&self.criterion, choice).is_some_and(|score| score <= self.most)
    }
}

impl<'t> Rules<'t> {
    /// The windows and side conditions that `is_on` names.
    pub(crate) fn of(sided: &SidedProblem<'t>, is_on: impl Fn(Side) -> bool) -> Self {
        let sides = sided.sides();
        let mut limits = Vec::new();
        let criterion = |table, measure, sense| Criterion { table, measure, sense, slack: 0 };
        for (at, window) in sided.problem().windows().iter().enumerate() {
            if is_on(Side::Window(at)) {
                let criterion = criterion(window.table, Measure::Spread, Sense::Least);
                limits.push(Limit { criterion, most: window.width.into() });
            }
        }
        for (at, total) in sides.totals.iter().enumerate() {
            if is_on(Side::Total(at)) {
                let of = |sense, most| Limit { criterion: criterion(total.table, Measure::Total, sense), most };
                limits.extend(total.most.map(|most| of(Sense::Least, most)));
                limits.extend(total.least.map(|least| of(Sense::Most, least.saturating_neg())));
            }
        }
        let neighbours = sides.neighbours.iter().enumerate();
        let neighbours = neighbours.filter(|&(at, _)| is_on(Side::Neighbour(at))).map(|(_, limit)| *limit).collect();
        Self { limits, neighbours, items: ItemRules::of(sides, is_on) }
    }

    /// Adds a limit: to the pairs where they can express it, to the rules otherwise.
    pub(crate) fn admit(&mut self, limit: Limit<'t>, part: &mut Part) {
        let table = limit.criterion.table;
        match Method::of(&limit.criterion) {
            Method::Worst(key) => {
                let within = |value| i128::from(key.of(value)) <= limit.most;
                part.grid.keep_of_table(table, within);
            }
            _ => self.limits.push(limit),
        }
    }

    /// Whether a choice keeps every rule.
    pub(crate) fn are_kept_by(&self, choice: &[Item]) -> bool {
        self.limits.iter().all(|limit| limit.is_kept_by(choice))
            && self.neighbours.iter().all(|limit| is_close(limit, choice))
            && self.items.are_kept_by(choice)
    }
}

fn is_close(limit: &Neighbour<'_>, choice: &[Item]) -> bool {
    let value = |slot: Slot| choice.get(slot.index()).and_then(|&item| limit.table.get(slot, item));
    match (value(limit.one), value(limit.other)) {
        (Some(one), Some(other)) => i128::from(one.abs_diff(other)) <= i128::from(limit.most),
        _ => false,
    }
}
