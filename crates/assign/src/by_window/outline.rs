//! How good the answer of a window can be at best.

use super::Windows;
use super::places::Places;
use crate::best::{Cost, Method};
use pairwright_proof::{Criterion, Item, Measure, Sense, Table};
use std::ops::Range;

/// How good an answer is, or at best could be: scores of the later criteria, then items; the smaller, the better. A
/// bound that knows none for some criterion ends there.
pub(super) type Rank = (Vec<i128>, Vec<Item>);

/// Whether nothing of this bound can come before an answer.
pub(super) fn is_beaten(bound: &Rank, answer: &Rank, criteria: usize) -> bool {
    if bound.0.len() == criteria { bound > answer } else { bound.0[..] > answer.0[..bound.0.len()] }
}

/// What is seen of a slot inside a window.
#[derive(Clone, Copy)]
struct Seen {
    first: Item,
    least: i64,
    most: i64,
}

/// The lower ends of the windows in which every slot has an item, with the bounds on their answers, best first.
pub(super) fn ranked(windows: &Windows<'_, '_>) -> Vec<(Rank, i64)> {
    let slots = windows.problem.shape().slots;
    let seen = seen(windows);
    let costs: Vec<_> = windows.later.iter().map(|criterion| costs(windows, criterion)).collect();
    let bound = |(window, &start): (usize, &i64)| {
        let row = window * slots..(window + 1) * slots;
        let seen: Vec<Seen> = seen[row.clone()].iter().copied().collect::<Option<_>>()?;
        let sum = |place: usize| costs[place][row.clone()].iter().sum::<i128>();
        Some((bound(windows, &seen, sum), start))
    };
    let mut ranked: Vec<(Rank, i64)> = windows.starts.iter().enumerate().filter_map(bound).collect();
    ranked.sort();
    ranked
}

/// What is seen of every slot inside every window, window after window.
fn seen(windows: &Windows<'_, '_>) -> Vec<Option<Seen>> {
    let slots = windows.problem.shape().slots;
    let mut all: Vec<Option<Seen>> = vec![None; slots * windows.starts.len()];
    let places = Places::new(windows.starts, windows.width);
    // Without squares to bound, or with one value only, the first item tells all.
    let is_first_enough =
        windows.width == 0 || !windows.later.iter().any(|criterion| criterion.measure == Measure::SquaresAboutMean);
    for slot in windows.allowed.slots() {
        let mut missing = windows.starts.len();
        windows.source.show(slot, |item, value| {
            for window in places.holding(value) {
                let seen = &mut all[window * slots + slot.index()];
                match seen {
                    Some(seen) => {
                        // A pair that is not allowed at most makes the bound weaker.
                        seen.least = seen.least.min(value);
                        seen.most = seen.most.max(value);
                    }
                    None if windows.allowed.has(slot, item) => {
                        *seen = Some(Seen { first: item, least: value, most: value });
                        missing -= 1;
                    }
                    None => {}
                }
            }
            is_first_enough && missing == 0
        });
    }
    all
}

/// For every slot inside every window the least that the slot can cost there; nothing for a criterion that is no sum.
///
/// The slot's smallest cost where the window holds an item of that cost, else the second smallest.
fn costs(windows: &Windows<'_, '_>, criterion: &Criterion<'_>) -> Vec<i128> {
    let Method::Sum(cost) = Method::of(criterion) else {
        return Vec::new();
    };
    let slots = windows.problem.shape().slots;
    let places = Places::new(windows.starts, windows.width);
    let mut all = vec![0; slots * windows.starts.len()];
    for slot in windows.allowed.slots() {
        let run = windows.allowed.run(slot);
        let cheapest = Cheapest::of(run.start, &criterion.table.row(slot)[run], &cost);
        for window in 0..windows.starts.len() {
            all[window * slots + slot.index()] = cheapest.second;
        }
        for &item in &cheapest.items {
            let value = windows.allowed.table.row(slot)[item.index()];
            for window in places.holding(value) {
                all[window * slots + slot.index()] = cheapest.least;
            }
        }
    }
    all
}

/// A slot's smallest cost, the items that have it, and what any other item costs at least.
struct Cheapest {
    least: i128,
    second: i128,
    items: Vec<Item>,
}

/// More items of the smallest cost than this are not told apart from the others.
const FEW: usize = 256;

impl Cheapest {
    /// Of some cells of a row, the first of which is that of item `first`.
    fn of(first: usize, cells: &[i64], cost: &Cost<'_>) -> Self {
        let mut least = i128::MAX;
        for_runs(cells, |_, value| least = least.min(cost.of_value(value)));
        let mut second = i128::MAX;
        let mut items = Vec::new();
        for_runs(cells, |run, value| {
            let cost = cost.of_value(value);
            if cost > least {
                second = second.min(cost);
            } else if items.len() <= FEW {
                let last = run.end.min(run.start + FEW + 1);
                items.extend((first + run.start..first + last).filter_map(|at| u32::try_from(at).ok()).map(Item::new));
            }
        });
        if items.len() > FEW || second == i128::MAX {
            return Self { least, second: least, items: Vec::new() };
        }
        Self { least, second, items }
    }
}

/// Shows every run of equal values.
fn for_runs(cells: &[i64], mut show: impl FnMut(Range<usize>, i64)) {
    let mut start = 0;
    for run in cells.chunk_by(|one, other| one == other) {
        let end = start + run.len();
        if run[0] != Table::FORBIDDEN {
            show(start..end, run[0]);
        }
        start = end;
    }
}

/// The bound of one window; `sum` is what the slots' cheapest items come to for a criterion.
fn bound(windows: &Windows<'_, '_>, seen: &[Seen], sum: impl Fn(usize) -> i128) -> Rank {
    let mut scores = Vec::new();
    for (place, criterion) in windows.later.iter().enumerate() {
        let is_first = std::ptr::eq(criterion.table, windows.allowed.table);
        scores.push(match (Method::of(criterion), criterion.measure, criterion.sense) {
            (Method::Sum(_), _, _) => sum(place),
            (_, Measure::SquaresAboutMean, Sense::Least) if is_first => {
                let ends: Vec<_> = seen.iter().map(|seen| (seen.least, seen.most)).collect();
                squares(&ends)
            }
            (_, Measure::Spread | Measure::SquaresAboutMean, Sense::Least) => 0,
            _ => return (scores, Vec::new()),
        });
    }
    (scores, seen.iter().map(|seen| seen.first).collect())
}

/// The least n·Σv² − (Σv)² of n numbers, each between two ends, rounded up.
///
/// It is n times the least over t of the squared distances of t from the ranges. Between two neighbouring ends the
/// same a ranges lie to one side of t, at their nearer ends e; the least there is Σe² − (Σe)² / a, at the mean of the
/// e if that is in between.
fn squares(ends: &[(i64, i64)]) -> i128 {
    let anchor = ends.first().map_or(0, |&(low, _)| low);
    let from = |value: i64| i128::from(value - anchor);
    let mut turns: Vec<i128> = ends.iter().flat_map(|&(low, high)| [from(low), from(high)]).collect();
    turns.sort_unstable();
    let count = ends.len() as i128;
    let least = turns.windows(2).filter_map(|two| {
        let (mut away, mut total, mut squares) = (0, 0, 0);
        for &(low, high) in ends {
            let nearer = if from(high) <= two[0] {
                from(high)
            } else if from(low) >= two[1] {
                from(low)
            } else {
                continue;
            };
            away += 1;
            total += nearer;
            squares += nearer * nearer;
        }
        if away == 0 {
            return Some(0);
        }
        let is_between = away * two[0] <= total && total <= away * two[1];
        is_between.then(|| -(-(count * (away * squares - total * total))).div_euclid(away))
    });
    least.min().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn prop_no_numbers_between_the_ends_have_smaller_squares(
            ranges in prop::collection::vec((-6_i64..6, 0_i64..4), 1..=4),
        ) {
            let ends: Vec<_> = ranges.iter().map(|&(low, length)| (low, low + length)).collect();
            let mut least = i128::MAX;
            let mut numbers: Vec<i64> = ends.iter().map(|&(low, _)| low).collect();
            'all: loop {
                let total: i128 = numbers.iter().map(|&v| i128::from(v)).sum();
                let squared: i128 = numbers.iter().map(|&v| i128::from(v) * i128::from(v)).sum();
                least = least.min(numbers.len() as i128 * squared - total * total);
                for (number, &(low, high)) in numbers.iter_mut().zip(&ends) {
                    if *number < high {
                        *number += 1;
                        continue 'all;
                    }
                    *number = low;
                }
                break;
            }
            prop_assert!(squares(&ends) <= least);
            if ranges.iter().all(|&(_, length)| length == 0) {
                prop_assert_eq!(squares(&ends), least);
            }
        }
    }
}
