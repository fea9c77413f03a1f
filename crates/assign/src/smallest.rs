//! What stands in the way: the smallest change of one limit that makes a choice possible.

use crate::chain::solve;
use crate::outcome::Outcome;
use crate::problem::{Problem, ProblemError};
use pairwright_proof::{Criterion, Measure, Sense, Table, Window};

/// Values a choice may use: none below `low`, none above `high`.
///
/// What a caller otherwise says by forbidding pairs, said so that it can be asked how far it would have to give.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Range<'t> {
    /// The values.
    pub table: &'t Table,
    /// The smallest value allowed, in ticks.
    pub low: Option<i64>,
    /// The largest value allowed, in ticks.
    pub high: Option<i64>,
}

/// One limit of a problem; the number is its place in its list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Limit {
    /// The width of a window, in [`Problem::windows`].
    Window(usize),
    /// The lower end of a [`Range`].
    Low(usize),
    /// The upper end of a [`Range`].
    High(usize),
}

/// How far a limit has to give, alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SmallestChange {
    /// The limit.
    pub limit: Limit,
    /// With the limit so many ticks wider, all others as they are, there is a choice, and with one tick less there is
    /// none; 0 if there is a choice already; `None` if there is none however far it gives.
    pub by: Option<i128>,
}

/// The smallest change of every single limit that makes a choice possible: windows first, then the ends of the ranges,
/// each in order, the lower one first.
///
/// Exact. For a window that is the least spread of its values when it is set aside itself and everything else is kept;
/// for the upper end of a range the least greatest value, for a lower end the greatest least one. So one solve for each
/// limit, of a problem with one criterion and the other windows: see [`solve`](crate::solve()); the limits that can be
/// relaxed one at a time are then compared in the unit of their tables. Criteria of the problem only matter by the pairs
/// that their tables forbid.
///
/// # Errors
/// [`ProblemError::Shapes`] if a range's table has another shape than the problem.
///
/// # Examples
/// ```
/// use pairwright_assign::{
///     Limit, Problem, Range, Shape, SmallestChange, Table, Window, smallest_changes,
/// };
///
/// let table = Table::from_cells(Shape { slots: 2, items: 2 }, &[Some(1), Some(5), Some(4), Some(9)])?;
/// let problem = Problem::new(vec![], vec![Window { table: &table, width: 0 }])?;
/// let range = Range { table: &table, low: None, high: Some(8) };
///
/// // 5 and 4 are a tick apart; 1 and 9 are out of range.
/// let changes = smallest_changes(&problem, &[range])?;
/// assert_eq!(changes, [
///     SmallestChange { limit: Limit::Window(0), by: Some(1) },
///     SmallestChange { limit: Limit::High(0), by: None },
/// ]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn smallest_changes(problem: &Problem<'_>, ranges: &[Range<'_>]) -> Result<Vec<SmallestChange>, ProblemError> {
    let expected = problem.shape();
    if let Some(other) = ranges.iter().find(|range| range.table.shape() != expected) {
        return Err(ProblemError::Shapes { expected, found: other.table.shape() });
    }
    let mut changes = Vec::new();
    for (at, window) in problem.windows().iter().enumerate() {
        let mut windows = problem.windows().to_vec();
        windows.remove(at);
        let least = best(problem, goal(window.table, Measure::Spread, Sense::Least), windows, ranges)?;
        let by = least.map(|least| (least - i128::from(window.width)).max(0));
        changes.push(SmallestChange { limit: Limit::Window(at), by });
    }
    for (at, range) in ranges.iter().enumerate() {
        let without = |rest: Range<'_>, measure, sense| {
            let mut others = ranges.to_vec();
            others[at] = Range { table: range.table, ..rest };
            best(problem, goal(range.table, measure, sense), problem.windows().to_vec(), &others)
        };
        // Where no slot takes anything no value is out of range.
        let short = |by: i128| if expected.slots == 0 { 0 } else { by.max(0) };
        if let Some(low) = range.low {
            let most = without(Range { low: None, ..*range }, Measure::Least, Sense::Most)?;
            let by = most.map(|most| short(i128::from(low) - most));
            changes.push(SmallestChange { limit: Limit::Low(at), by });
        }
        if let Some(high) = range.high {
            let least = without(Range { high: None, ..*range }, Measure::Greatest, Sense::Least)?;
            let by = least.map(|least| short(least - i128::from(high)));
            changes.push(SmallestChange { limit: Limit::High(at), by });
        }
    }
    Ok(changes)
}

fn goal(table: &Table, measure: Measure, sense: Sense) -> Criterion<'_> {
    Criterion { table, measure, sense, slack: 0 }
}

/// The best value of a criterion under these windows and ranges; `None` if there is no choice.
fn best(
    problem: &Problem<'_>,
    criterion: Criterion<'_>,
    windows: Vec<Window<'_>>,
    ranges: &[Range<'_>],
) -> Result<Option<i128>, ProblemError> {
    let mut changes = problem.changes().clone();
    let tables = problem.distinct_tables();
    for slot in criterion.table.slots() {
        for item in criterion.table.items() {
            let is_there = tables.iter().all(|table| table.get(slot, item).is_some());
            let holds = |range: &Range<'_>| {
                let value = range.table.get(slot, item);
                value.is_some_and(|value| {
                    range.low.is_none_or(|low| value >= low) && range.high.is_none_or(|high| value <= high)
                })
            };
            if !is_there || !ranges.iter().all(holds) {
                changes.forbidden.push((slot, item));
            }
        }
    }
    let bare = Problem::new(vec![criterion], windows)?.with_changes(changes);
    Ok(match solve(&bare) {
        Outcome::Proven(found) => found.values.first().copied(),
        // One threshold is always exact: an open outcome would not be a smallest change.
        Outcome::BestFound { .. } | Outcome::Impossible(_) => None,
    })
}
