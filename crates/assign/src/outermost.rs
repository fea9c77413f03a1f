//! How good a choice could be at all, seen slot by slot: what is still known when there is no time for anything else.

use crate::best::Method;
use crate::grid::Grid;
use pairwright_proof::{Criterion, Measure, Slot};

/// No choice of the grid scores less by the criterion. One pass over the pairs.
///
/// Each slot by itself: a sum is at least that of the slots' cheapest pairs, the largest key at least that of the slots'
/// least keys, the spread at least the distance from the smallest of the slots' largest values up to the largest of
/// their smallest ones; n·Σ v² − (Σ v)² is at least n/2 times the square of that. Values that are to lie far out lie no
/// farther than the outermost pairs.
pub(crate) fn bound(criterion: &Criterion<'_>, grid: &Grid) -> i128 {
    if grid.slot_count() == 0 {
        return 0;
    }
    let value = |slot: Slot| grid.items_of(slot).map(move |item| criterion.table.row(slot)[item.index()]);
    match Method::of(criterion) {
        Method::Sum(cost) => {
            let least = |slot| value(slot).map(|value| cost.of_value(value)).min();
            grid.slots().filter_map(least).sum()
        }
        Method::Worst(key) => {
            let least = |slot| value(slot).map(|value| key.of(value)).min();
            grid.slots().filter_map(least).max().map_or(0, i128::from)
        }
        Method::Spread => apart(grid, value),
        Method::AboutMean => {
            let spread = apart(grid, value);
            (grid.slot_count() as i128 * spread * spread + 1) / 2
        }
        Method::Far => far(criterion, grid, value),
    }
}

/// How far apart the values of some two slots are at least.
fn apart<I: Iterator<Item = i64>>(grid: &Grid, values: impl Fn(Slot) -> I) -> i128 {
    let up = grid.slots().filter_map(|slot| values(slot).min()).max();
    let down = grid.slots().filter_map(|slot| values(slot).max()).min();
    up.zip(down).map_or(0, |(up, down)| (i128::from(up) - i128::from(down)).max(0))
}

fn far<I: Iterator<Item = i64>>(criterion: &Criterion<'_>, grid: &Grid, values: impl Fn(Slot) -> I) -> i128 {
    let all = || grid.slots().flat_map(&values).map(i128::from);
    let (Some(low), Some(high)) = (all().min(), all().max()) else {
        return 0;
    };
    match criterion.measure {
        Measure::Least => low,
        Measure::WorstFrom { target } => {
            let target = i128::from(target);
            -(high - target).abs().max((low - target).abs())
        }
        Measure::Spread => low - high,
        // Σ over the pairs of slots of their squared distance.
        Measure::SquaresAboutMean => {
            let slots = grid.slot_count() as i128;
            -(slots * (slots - 1) / 2) * (high - low) * (high - low)
        }
        _ => -high,
    }
}
