//! Values that are to lie far out: how far they can.

use crate::grid::{Bits, Grid};
use crate::matching::Matching;
use crate::sum;
use pairwright_proof::{Criterion, Item, Measure, Slot};

/// A bound on the score of a criterion that wants values far out, and a choice that reaches it or comes near;
/// `None` if there is no choice.
///
/// The bound is reached for a greatest value, a least value and a worst deviation, and whenever the grid leaves one
/// choice.
pub(crate) fn farthest(criterion: &Criterion<'_>, grid: &Grid, must: &Bits) -> Option<(i128, Vec<Item>)> {
    let value = |slot: Slot, item: Item| criterion.table.row(slot)[item.index()];
    let far = |key: &dyn Fn(Slot, Item) -> i64| holding_greatest(grid, must, key);
    match criterion.measure {
        Measure::Least => {
            let (key, choice) = far(&|slot, item| -value(slot, item))?;
            Some((-i128::from(key), choice))
        }
        Measure::WorstFrom { target } => {
            let (key, choice) = far(&|slot, item| (value(slot, item) - target).abs())?;
            Some((-i128::from(key), choice))
        }
        Measure::Spread => {
            let (low, _) = far(&|slot, item| -value(slot, item))?;
            let (high, choice) = far(&value)?;
            Some((-i128::from(high + low), choice))
        }
        Measure::SquaresAboutMean => squares(criterion, grid, must),
        _ => {
            let (key, choice) = far(&value)?;
            Some((-i128::from(key), choice))
        }
    }
}

/// The greatest key of any pair that some choice holds, and such a choice.
pub(crate) fn holding_greatest(grid: &Grid, must: &Bits, key: impl Fn(Slot, Item) -> i64) -> Option<(i64, Vec<Item>)> {
    if grid.slot_count() == 0 {
        return must.is_empty().then(|| (0, Vec::new()));
    }
    let mut pairs: Vec<(i64, Slot, Item)> = grid.pairs().map(|(slot, item)| (key(slot, item), slot, item)).collect();
    pairs.sort_unstable_by(|one, other| other.cmp(one));
    pairs.into_iter().find_map(|(key, slot, item)| {
        let mut forced = grid.clone();
        forced.force(slot, item);
        let mut matching = Matching::empty(&forced);
        matching.complete(&forced, must).ok()?;
        Some((key, matching.choice()))
    })
}

/// Squares about the mean are at most the squares about any other number, here one near the mean of a choice.
fn squares(criterion: &Criterion<'_>, grid: &Grid, must: &Bits) -> Option<(i128, Vec<Item>)> {
    let mut matching = Matching::empty(grid);
    matching.complete(grid, must).ok()?;
    let value = |(slot, item): (Slot, Item)| i128::from(criterion.table.row(slot)[item.index()]);
    let slots = grid.slot_count() as i128;
    let start: i128 = grid.slots().zip(matching.choice()).map(value).sum();
    let center = start.checked_div(slots).unwrap_or(0);
    let cost = |slot, item| {
        let away = value((slot, item)) - center;
        -slots * away * away
    };
    let assigned = sum::cheapest(grid, must, cost)?;
    let total: i128 = grid.slots().zip(assigned.choice.iter().copied()).map(value).sum();
    let only_one = grid.slots().all(|slot| grid.items_of(slot).nth(1).is_none());
    let off = if only_one { total - slots * center } else { 0 };
    Some((assigned.total + off * off, assigned.choice))
}
