//! Squares about the mean of numbers that may lie anywhere between two ends.

use crate::best::Method;
use crate::grid::Grid;
use crate::sides::rules::Limit;
use pairwright_proof::{Item, Slot};

/// Whether every choice of a grid has squares about the mean above the limit, if it is one on them, whatever numbers
/// between the least and the greatest of each slot it has.
///
/// n·Σ(v − m)² is least at the mean m. So it is at least n·Σd² with the distances d from some m to the slots' stretches:
/// a convex function of m, walked along its corners.
pub(super) fn is_above(limit: &Limit<'_>, grid: &Grid) -> bool {
    if !matches!(Method::of(&limit.criterion), Method::AboutMean) {
        return false;
    }
    if limit.most < 0 {
        return true;
    }
    let table = limit.criterion.table;
    let stretch = |slot: Slot| {
        let value = |item: Item| i128::from(table.row(slot)[item.index()]);
        Some((grid.items_of(slot).map(value).min()?, grid.items_of(slot).map(value).max()?))
    };
    let stretches: Option<Vec<(i128, i128)>> = grid.slots().map(stretch).collect();
    let Some(stretches) = stretches else {
        return true;
    };
    // Sums of what lies below a corner (its greatest values) and of what lies above it (its least).
    let mut corners: Vec<i128> = stretches.iter().flat_map(|&(low, high)| [low, high]).collect();
    corners.sort_unstable();
    let outside = |m: i128| {
        let nearer =
            move |&(low, high): &(i128, i128)| if high <= m { Some(high - m) } else { (low > m).then_some(low - m) };
        stretches.iter().filter_map(nearer)
    };
    let leans_on = |m: i128| outside(m).sum::<i128>() >= 0;
    let Some(&corner) = corners[..corners.partition_point(|&corner| leans_on(corner))].last() else {
        return false;
    };
    let (mut count, mut sum, mut squares) = (0_i128, 0_i128, 0_i128);
    for away in outside(corner) {
        count += 1;
        sum += away;
        squares = squares.saturating_add(away.saturating_mul(away));
    }
    let exact = count.checked_mul(squares).and_then(|all| all.checked_sub(sum.checked_mul(sum)?));
    let times = exact.and_then(|all| all.checked_mul(stretches.len() as i128));
    times.is_some_and(|times| times > limit.most.saturating_mul(count))
}
