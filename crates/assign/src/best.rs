//! The best value of one criterion over a region, and the part of the region that reaches it.

use crate::effort::Effort;
use crate::free_mean::{self, AboutMean, cost_about};
use crate::grid::{Bits, Grid};
use crate::outermost;
use crate::reach;
use crate::region::{Budget, Family, Node, Region};
use crate::search::{self, Holds};
use crate::spread::{self, Pairs};
use crate::sum::{self, Assigned};
use crate::watch::Watch;
use crate::worst::{Confirm, Keyed};
use pairwright_proof::{Choice, Criterion, Item, Measure, Sense, Slot, Table, evaluate};

/// How a criterion is solved.
pub(crate) enum Method<'t> {
    /// The largest of the pairs' keys is to be small: a threshold.
    Worst(Key),
    /// Largest minus smallest value is to be small: two thresholds.
    Spread,
    /// A sum of the pairs' costs is to be small.
    Sum(Cost<'t>),
    /// The squares about the mean are to be small.
    AboutMean,
    /// Values are to lie far out.
    Far,
}

/// A pair's key.
#[derive(Clone, Copy)]
pub(crate) enum Key {
    Value,
    Negative,
    Away(i64),
}

/// A pair's cost: (v − anchor)² or v − anchor, with its sign.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cost<'t> {
    table: &'t Table,
    anchor: i64,
    squared: bool,
    sign: i128,
}

impl Key {
    /// The key of a value; that of a forbidden pair is a number, too, which means nothing.
    pub(crate) fn of(self, value: i64) -> i64 {
        match self {
            Self::Value => value,
            Self::Negative => value.saturating_neg(),
            Self::Away(target) => value.saturating_sub(target).saturating_abs(),
        }
    }
}

impl<'t> Cost<'t> {
    /// A slot's values, [`Table::FORBIDDEN`] where there is no pair.
    pub(crate) fn values(&self, slot: Slot) -> &'t [i64] {
        self.table.row(slot)
    }

    /// Numbers of slots and of items.
    pub(crate) fn shape(&self) -> (usize, usize) {
        let shape = self.table.shape();
        (shape.slots, shape.items)
    }

    /// Whether a pair costs its value.
    pub(crate) fn is_plain(&self) -> bool {
        !self.squared && self.anchor == 0 && self.sign > 0
    }

    /// Appends the costs of these values, [`Table::FORBIDDEN`] where there is no pair, and gives a bound on their
    /// magnitude: [`i64::MAX`] if they may not fit.
    pub(crate) fn fill(&self, values: &[i64], costs: &mut Vec<i64>) -> i64 {
        let (anchor, sign) = (self.anchor, if self.sign > 0 { 1 } else { -1 });
        let absent = |value: i64| value == Table::FORBIDDEN;
        let mut bits = 0;
        if self.squared {
            costs.extend(values.iter().map(|&value| {
                let away = value.wrapping_sub(anchor);
                bits |= if absent(value) { 0 } else { away ^ (away >> 63) };
                if absent(value) { value } else { sign * away.wrapping_mul(away) }
            }));
            let away = bits + 1;
            return away.checked_mul(away).unwrap_or(i64::MAX);
        }
        costs.extend(values.iter().map(|&value| {
            let away = value.wrapping_sub(anchor);
            bits |= if absent(value) { 0 } else { away ^ (away >> 63) };
            if absent(value) { value } else { sign * away }
        }));
        bits + 1
    }

    pub(crate) fn of(&self, slot: Slot, item: Item) -> i128 {
        self.of_value(self.table.row(slot)[item.index()])
    }

    /// What the pairs of a choice cost together.
    pub(crate) fn total(&self, choice: &Choice) -> i128 {
        choice.pairs().map(|(slot, item)| self.of(slot, item)).sum()
    }

    /// Whether no pair costs less than nothing.
    pub(crate) fn is_never_below_zero(&self) -> bool {
        self.squared && self.sign > 0
    }

    pub(crate) fn of_value(&self, value: i64) -> i128 {
        let away = i128::from(value - self.anchor);
        self.sign * if self.squared { away * away } else { away }
    }
}

impl<'t> Method<'t> {
    pub(crate) fn of(criterion: &Criterion<'t>) -> Self {
        let table = criterion.table;
        let sign = match criterion.sense {
            Sense::Least => 1,
            Sense::Most => -1,
        };
        match (criterion.measure, criterion.sense) {
            (Measure::Total, _) => Self::Sum(Cost { table, anchor: 0, squared: false, sign }),
            (Measure::SquaresFrom { target }, _) => Self::Sum(Cost { table, anchor: target, squared: true, sign }),
            (Measure::Greatest, Sense::Least) => Self::Worst(Key::Value),
            (Measure::Least, Sense::Most) => Self::Worst(Key::Negative),
            (Measure::WorstFrom { target }, Sense::Least) => Self::Worst(Key::Away(target)),
            (Measure::Spread, Sense::Least) => Self::Spread,
            (Measure::SquaresAboutMean, Sense::Least) => Self::AboutMean,
            _ => Self::Far,
        }
    }
}

/// The score where a search was cut short before it met any choice.
pub(crate) const NOT_FOUND: i128 = i128::MAX;

/// The best of a criterion over a region. Scores are values turned so that less is better.
#[derive(Clone, Debug)]
pub(crate) struct Best {
    /// The score reached.
    pub(crate) score: i128,
    /// No choice of the region scores less; the score itself unless a search was cut short.
    pub(crate) bound: i128,
    /// A choice with that score.
    pub(crate) choice: Vec<Item>,
    detail: Detail,
}

#[derive(Clone, Debug)]
enum Detail {
    None,
    Prices(Assigned),
    /// Where the windows of a least spread begin.
    Starts(Vec<i64>),
    AboutMean(AboutMean),
}

/// The score of a choice: its value, turned so that less is better.
pub(crate) fn score(criterion: &Criterion<'_>, choice: &[Item]) -> Option<i128> {
    let value = evaluate(criterion.measure, criterion.table, &Choice::new(choice.to_vec())).ok()?;
    Some(match criterion.sense {
        Sense::Least => value,
        Sense::Most => -value,
    })
}

impl Best {
    fn exact(score: i128, choice: Vec<Item>, detail: Detail) -> Self {
        Self { score, bound: score, choice, detail }
    }
}

/// The best of `criterion` over the choices inside a grid, budgets aside; `None` if there is no choice.
///
/// Exact but for the greatest spread and the greatest squares about the mean, where only `bound` holds in general.
pub(crate) fn over_pairs(criterion: &Criterion<'_>, grid: &Grid, must: &Bits) -> Option<Best> {
    over_confirmed(criterion, grid, must, None, &Watch::unlimited())
}

/// The same; where the watch ended it the best met, bounded from outside, or `None`.
pub(crate) fn over_confirmed(
    criterion: &Criterion<'_>,
    grid: &Grid,
    must: &Bits,
    confirm: Option<Confirm<'_>>,
    watch: &Watch<'_>,
) -> Option<Best> {
    let best = by_method(criterion, grid, must, confirm, watch)?;
    if watch.stopped().is_none() {
        return Some(best);
    }
    let bound = outermost::bound(criterion, grid).min(best.score);
    Some(Best { bound, detail: Detail::None, ..best })
}

fn by_method(
    criterion: &Criterion<'_>,
    grid: &Grid,
    must: &Bits,
    confirm: Option<Confirm<'_>>,
    watch: &Watch<'_>,
) -> Option<Best> {
    let table = criterion.table;
    match Method::of(criterion) {
        Method::Worst(key) => {
            let held = match key {
                Key::Value => Keyed { grid, must, table, key: |_, value| value, confirm }.least(watch),
                _ => Keyed { grid, must, table, key: |_, value| key.of(value), confirm }.least(watch),
            }?;
            Some(Best::exact(held.key.into(), held.choice, Detail::None))
        }
        Method::Spread => {
            let narrowest = match confirm {
                None => spread::least_of(grid, table, must, watch),
                Some(_) => spread::least(Pairs::of(grid, table), must, confirm, watch),
            }?;
            Some(Best::exact(narrowest.spread.into(), narrowest.choice, Detail::Starts(narrowest.starts)))
        }
        Method::Sum(cost) => {
            let assigned = sum::cheapest_of(&cost, grid, must, watch)?;
            Some(Best::exact(assigned.total, assigned.choice.clone(), Detail::Prices(assigned)))
        }
        Method::AboutMean => {
            let about = free_mean::least(grid, must, table, watch)?;
            Some(Best::exact(about.squares, about.choice.clone(), Detail::AboutMean(about)))
        }
        Method::Far => {
            let (bound, choice) = reach::farthest(criterion, grid, must)?;
            Some(Best { score: score(criterion, &choice)?, bound, choice, detail: Detail::None })
        }
    }
}

/// Whether [`over_pairs`] is exact for the criterion.
fn is_exact(criterion: &Criterion<'_>) -> bool {
    let far = matches!(Method::of(criterion), Method::Far);
    !(far && matches!(criterion.measure, Measure::Spread | Measure::SquaresAboutMean))
}

impl Budget<'_> {
    /// A choice inside the grid that keeps the budget; only a guess where the criterion is not solved exactly, but
    /// then `None` still means that there is none.
    fn kept_by(&self, grid: &Grid, must: &Bits) -> Option<Vec<Item>> {
        let best = over_pairs(&self.criterion, grid, must)?;
        (best.bound <= self.limit).then_some(best.choice)
    }
}

/// The best of `criterion` over a region, by search only where no exact method covers its budgets; `None` if the
/// region is empty.
pub(crate) fn over_region<'t>(criterion: &Criterion<'t>, region: &Region<'t>, effort: &Effort<'_>) -> Option<Best> {
    let (grid, must) = (&region.grid, &region.must);
    let threshold = matches!(Method::of(criterion), Method::Worst(_) | Method::Spread);
    match &region.budgets[..] {
        [] if is_exact(criterion) => over_confirmed(criterion, grid, must, None, effort.watch()),
        [budget] if threshold && is_exact(&budget.criterion) => {
            over_confirmed(criterion, grid, must, Some(&|grid| budget.kept_by(grid, must)), effort.watch())
        }
        _ => {
            let found = search::best(criterion, region, effort)?;
            let (score, choice) = found.best.unwrap_or((NOT_FOUND, Vec::new()));
            Some(Best { score, bound: found.bound, choice, detail: Detail::None })
        }
    }
}

/// How the first choice in order that a region holds is looked for.
pub(crate) fn held_by(region: &Region<'_>, grid: &Grid, effort: &Effort<'_>) -> Holds {
    match &region.budgets[..] {
        [budget] if is_exact(&budget.criterion) => budget.kept_by(grid, &region.must).map_or(Holds::No, Holds::Yes),
        _ => search::holds(region, grid, effort),
    }
}

/// The choices of a region whose score by `criterion` is at most `limit`, as nodes; `best` is its best over the region
/// and at most `limit`.
pub(crate) fn narrow<'t>(criterion: &Criterion<'t>, mut region: Region<'t>, best: &Best, limit: i128) -> Vec<Node<'t>> {
    let table = criterion.table;
    let (grid, must) = (&mut region.grid, &mut region.must);
    let plain = |region| vec![Node { region, families: Vec::new() }];
    match (Method::of(criterion), &best.detail) {
        (Method::Worst(key), _) => {
            let limit = i64::try_from(limit).unwrap_or(i64::MAX);
            match key {
                Key::Value => grid.keep_of_table(table, |value| value <= limit),
                _ => grid.keep_of_table(table, |value| key.of(value) <= limit),
            }
            plain(region)
        }
        (Method::Spread, Detail::Starts(starts)) if limit == best.score => {
            let width = i64::try_from(limit).unwrap_or(i64::MAX);
            vec![region.inside(Family { table, width, starts: starts.clone() })]
        }
        (Method::Spread, _) => {
            let width = i64::try_from(limit).unwrap_or(i64::MAX);
            let starts = window_starts(&region, table, width);
            vec![region.inside(Family { table, width, starts })]
        }
        (Method::Sum(cost), Detail::Prices(assigned)) => {
            assigned.keep_of(&cost, grid, must, limit - best.score);
            if limit > best.score {
                region.budgets.push(Budget { criterion: *criterion, limit });
            }
            plain(region)
        }
        (Method::AboutMean, Detail::AboutMean(about)) if limit == best.score => {
            about.sums.iter().map(|&sum| about_sum(&region, table, about.anchor, sum)).collect()
        }
        _ => {
            region.budgets.push(Budget { criterion: *criterion, limit });
            plain(region)
        }
    }
}

/// The lower ends of the windows of this width that may hold a choice of the region.
pub(crate) fn window_starts(region: &Region<'_>, table: &Table, width: i64) -> Vec<i64> {
    let must = &region.must;
    let within = |grid: &Grid| region.budgets.iter().try_fold(Vec::new(), |_, budget| budget.kept_by(grid, must));
    let confirm: Option<Confirm<'_>> = if region.budgets.is_empty() { None } else { Some(&within) };
    spread::starts(Pairs::of(&region.grid, table), must, width, confirm)
}

/// The part of a region that is cheapest about a sum.
fn about_sum<'t>(region: &Region<'t>, table: &'t Table, anchor: i64, sum: i128) -> Node<'t> {
    let mut region = region.clone();
    let cost = cost_about(table, anchor, sum);
    if let Some(assigned) = sum::cheapest(&region.grid, &region.must, &cost) {
        assigned.keep_within(&mut region.grid, &mut region.must, 0, &cost);
    }
    Node { region, families: Vec::new() }
}
