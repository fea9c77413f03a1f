//! Least squares about the choice's own mean.
//!
//! With n slots and the chosen values v, V = n·Σv² − (Σv)² is least where F(S) = min over choices of n·Σv² − 2S·Σv + S² is
//! least over whole S: F(S) is the least of V + (Σv − S)², so its minimum is that of V, reached exactly at
//! S = Σv of the best choices. For a fixed S that is a plain assignment; without S² it is concave and piecewise
//! linear in S, so its chord between two known points bounds it from below. Stretches whose bound is above the best V are
//! dropped, others are cut where their end lines cross, until none is left.
//!
//! # References
//! - M. J. Eisner and D. G. Severance, *Mathematical techniques for efficient record segmentation in large shared
//!   databases*, J. ACM 23 (1976): finding all breakpoints of a parametric minimum.

use crate::grid::{Bits, Grid};
use crate::sum::{Assigned, cheapest};
use pairwright_proof::{Item, Slot, Table};

/// The least n·Σv² − (Σv)², a choice that has it, and the totals of all that do.
#[derive(Clone, Debug)]
pub(crate) struct AboutMean {
    pub(crate) squares: i128,
    pub(crate) choice: Vec<Item>,
    /// The sums S = Σ(v − anchor) of the best choices, ascending; those with sum S are exactly the cheapest ones about S.
    pub(crate) sums: Vec<i128>,
    pub(crate) anchor: i64,
}

/// The cost of a pair about the sum S: n·d² − 2S·d with d = v − anchor.
pub(crate) fn cost_about(table: &Table, anchor: i64, sum: i128) -> impl Fn(Slot, Item) -> i128 + '_ {
    let slots = table.shape().slots as i128;
    move |slot, item| {
        let away = i128::from(table.row(slot)[item.index()] - anchor);
        away * (slots * away - 2 * sum)
    }
}

/// What one assignment says: the line n·Σd² − 2S·Σd of its choice, least at `at`.
struct Line {
    at: i128,
    /// n·Σd².
    squares: i128,
    /// Σd.
    total: i128,
    choice: Vec<Item>,
}

impl Line {
    fn value(&self, sum: i128) -> i128 {
        self.squares - 2 * sum * self.total
    }

    fn about_mean(&self) -> i128 {
        self.squares - self.total * self.total
    }
}

struct Parametric<'a> {
    grid: &'a Grid,
    must: &'a Bits,
    table: &'a Table,
    anchor: i64,
    slots: i128,
}

/// The least squares about the mean inside `grid`, all of `must` used; `None` if there is no choice.
pub(crate) fn least(grid: &Grid, must: &Bits, table: &Table) -> Option<AboutMean> {
    let values = |slot: Slot| grid.items_of(slot).map(move |item| table.row(slot)[item.index()]);
    let anchor = grid.slots().flat_map(values).min().unwrap_or(0);
    let from_anchor = |value: Option<i64>| i128::from(value.unwrap_or(anchor) - anchor);
    let lowest = grid.slots().map(|slot| from_anchor(values(slot).min())).sum();
    let highest = grid.slots().map(|slot| from_anchor(values(slot).max())).sum();
    let problem = Parametric { grid, must, table, anchor, slots: grid.slot_count() as i128 };
    let mut lines = vec![problem.line(lowest)?];
    let mut middle = i128::midpoint(lowest, highest);
    while lowest < middle && middle < highest && lines.iter().all(|line| line.at != middle) {
        lines.push(problem.line(middle)?);
        middle = lines[lines.len() - 1].total;
    }
    if highest > lowest {
        lines.push(problem.line(highest)?);
    }
    lines.sort_by_key(|line| line.at);
    problem.close(&mut lines);
    let squares = lines.iter().map(Line::about_mean).min()?;
    let best: Vec<&Line> = lines.iter().filter(|line| line.about_mean() == squares).collect();
    let mut sums: Vec<i128> = best.iter().map(|line| line.total).collect();
    sums.sort_unstable();
    sums.dedup();
    Some(AboutMean { squares, choice: best.first()?.choice.clone(), sums, anchor })
}

impl Parametric<'_> {
    fn line(&self, at: i128) -> Option<Line> {
        let Assigned { choice, .. } = cheapest(self.grid, self.must, cost_about(self.table, self.anchor, at))?;
        let mut line = Line { at, squares: 0, total: 0, choice: Vec::new() };
        for (slot, item) in self.grid.slots().zip(&choice) {
            let away = i128::from(self.table.row(slot)[item.index()] - self.anchor);
            line.squares += self.slots * away * away;
            line.total += away;
        }
        line.choice = choice;
        Some(line)
    }

    /// Adds lines until every stretch between two of them is known or cannot hold a best choice.
    fn close(&self, lines: &mut Vec<Line>) {
        let mut best = lines.iter().map(Line::about_mean).min().unwrap_or(0);
        let mut open: Vec<(usize, usize)> = (1..lines.len()).map(|right| (right - 1, right)).collect();
        while let Some((left, right)) = open.pop() {
            let Some(at) = cut(&lines[left], &lines[right], best) else {
                continue;
            };
            let line = self.line(at).expect("there was a choice at every other sum");
            best = best.min(line.about_mean());
            open.push((left, lines.len()));
            open.push((lines.len(), right));
            lines.push(line);
        }
    }
}

/// Where to look between two lines; `None` if no best choice that is not known can have its sum there.
fn cut(left: &Line, right: &Line, best: i128) -> Option<i128> {
    let (low, high) = (left.value(left.at), right.value(right.at));
    let known = left.value(right.at) == high || right.value(left.at) == low;
    let width = right.at - left.at;
    if width < 2 || known {
        return None;
    }
    // The chord is low + (S − left.at)·(slope + rest / width); S² + chord is convex in S.
    let (slope, rest) = ((high - low).div_euclid(width), (high - low).rem_euclid(width));
    let chord = |sum: i128| low + slope * (sum - left.at) - (-rest * (sum - left.at)).div_euclid(width);
    let foot = (-slope).div_euclid(2);
    let bound = (foot - 1..=foot + 1)
        .map(|sum| sum.clamp(left.at + 1, right.at - 1))
        .map(|sum| sum * sum + chord(sum))
        .min()?;
    if bound > best {
        return None;
    }
    let crossing = (left.squares - right.squares).div_euclid(2 * (left.total - right.total));
    Some(crossing.clamp(left.at + 1, right.at - 1))
}
