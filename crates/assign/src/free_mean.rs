//! Least squares about the choice's own mean.
//!
//! With n slots and the chosen values v, V = n·Σv² − (Σv)² is least where F(S) = min over choices of n·Σv² − 2S·Σv +
//! S² is
//! least over whole S: F(S) is the least of V + (Σv − S)², so its minimum is that of V, reached exactly at
//! S = Σv of the best choices. For a fixed S that is a plain assignment; without S² it is concave and piecewise
//! linear in S, so its chord between two known points bounds it from below. Stretches whose bound is above the best V
//! are
//! dropped, others are cut where their end lines cross, until none is left.
//!
//! Before that a sieve (`stretches.rs`) leaves only the stretches where the slots' nearest values, each taken for
//! itself, come
//! close enough to the mean. An assignment about a mean looks at the items nearest to it alone (`rows.rs`).
//!
//! One assignment for every line looked at: at most one for every corner of the parametric assignment and two for every
//! stretch left.
//!
//! # References
//! - M. J. Eisner and D. G. Severance, *Mathematical techniques for efficient record segmentation in large shared
//!   databases*, J. ACM 23 (1976): finding all breakpoints of a parametric minimum.

mod resume;
mod rows;
mod stretches;

use crate::grid::{Bits, Grid};
use crate::start;
use crate::watch::Watch;
use pairwright_proof::{Item, Slot, Table};
use resume::Resume;
pub(crate) use rows::Rows;
use std::collections::BTreeMap;
use stretches::Stretches;

/// The least n·Σv² − (Σv)², a choice that has it, and the totals of all that do.
#[derive(Clone, Debug)]
pub(crate) struct AboutMean {
    pub(crate) squares: i128,
    pub(crate) choice: Vec<Item>,
    /// The sums S = Σ(v − anchor) of the best choices, ascending; those with sum S are exactly the cheapest ones
    /// about S.
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
    /// The prices of the items, where others start from them.
    prices: Vec<i64>,
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
    rows: Rows,
    resume: Option<Resume>,
    /// By the sum at which they were found.
    lines: BTreeMap<i128, Line>,
    /// The least squares about the mean met so far.
    best: i128,
    watch: &'a Watch<'a>,
}

/// The least squares about the mean inside `grid`, all of `must` used; `None` if there is no choice. Ended early, the
/// least met, if any.
pub(crate) fn least(grid: &Grid, must: &Bits, table: &Table, watch: &Watch<'_>) -> Option<AboutMean> {
    let rows = Rows::new(grid, table);
    let (lowest, highest) = rows.reach();
    let slots = grid.slot_count() as i128;
    let (anchor, lines) = (rows.anchor(), BTreeMap::new());
    let resumes = must.is_empty() && rows.are_all_worth_reading();
    let resume = if resumes { Resume::new(grid, table, anchor) } else { None };
    let mut problem = Parametric { grid, must, table, anchor, slots, rows, resume, lines, best: i128::MAX, watch };
    problem.look(lowest)?;
    if let Some(only) = start::given(grid, must) {
        let away = |(slot, item): (Slot, Item)| i128::from(table.row(slot)[item.index()] - anchor);
        problem.follow(only.pairs().map(away).sum());
    }
    if problem.search(lowest, highest).is_none() && watch.stopped().is_none() {
        return None;
    }
    problem.answer()
}

impl Parametric<'_> {
    /// Looks wherever a best choice may be.
    fn search(&mut self, lowest: i128, highest: i128) -> Option<()> {
        self.follow(i128::midpoint(lowest, highest))?;
        let mut stretches = Stretches::new(lowest, highest);
        if self.rows.are_many() {
            while stretches.refine(&self.rows, self.best) {
                for at in stretches.most_promising() {
                    self.follow(at)?;
                }
            }
        }
        for stretch in stretches.by_bound() {
            if stretch.bound <= self.best.saturating_mul(self.slots) {
                self.close(stretch.start, stretch.end)?;
            }
        }
        Some(())
    }

    /// The line at a sum.
    fn look(&mut self, at: i128) -> Option<&Line> {
        if !self.lines.contains_key(&at) {
            let line = self.line(at)?;
            self.best = self.best.min(line.about_mean());
            self.lines.insert(at, line);
        }
        self.lines.get(&at)
    }

    /// Goes from a sum to that of the choice found there, until one is known.
    fn follow(&mut self, mut at: i128) -> Option<()> {
        while !self.lines.contains_key(&at) {
            at = self.look(at)?.total;
        }
        Some(())
    }

    fn line(&mut self, at: i128) -> Option<Line> {
        // The first one is needed to have anything.
        if !self.lines.is_empty() && !self.watch.goes_on() {
            return None;
        }
        let (choice, prices) = self.cheapest(at)?;
        let mut line = Line { at, squares: 0, total: 0, choice: Vec::new(), prices };
        for (slot, item) in self.grid.slots().zip(&choice) {
            let away = i128::from(self.table.row(slot)[item.index()] - self.anchor);
            line.squares += self.slots * away * away;
            line.total += away;
        }
        line.choice = choice;
        Some(line)
    }

    /// The cheapest choice about a sum, and prices of the items.
    fn cheapest(&mut self, at: i128) -> Option<(Vec<Item>, Vec<i64>)> {
        let Some(resume) = &mut self.resume else {
            let cost = cost_about(self.table, self.anchor, at);
            return Some((self.rows.cheapest(at, self.grid, self.must, cost)?.choice, Vec::new()));
        };
        let left = self.lines.range(..at).next_back().map(|(_, line)| line);
        let right = self.lines.range(at..).next().map(|(_, line)| line);
        let (prices, like) = match (left, right) {
            (Some(left), Some(right)) => {
                let like = if at - left.at < right.at - at { left } else { right };
                (resume::between(at, [left.at, right.at], [&left.prices, &right.prices]), Some(like))
            }
            (Some(only), None) | (None, Some(only)) => (only.prices.clone(), Some(only)),
            (None, None) => (vec![0; self.grid.item_count()], None),
        };
        let like = like.map(|line| &line.choice[..]);
        let found = resume.cheapest(i64::try_from(at).ok()?, prices, like)?;
        Some((found.choice, found.prices))
    }

    /// Adds lines until the stretch between two sums is known or cannot hold a best choice.
    fn close(&mut self, start: i128, end: i128) -> Option<()> {
        self.look(start)?;
        self.look(end)?;
        let mut open = vec![(start, end)];
        while let Some((start, end)) = open.pop() {
            if let Some(at) = cut(&self.lines[&start], &self.lines[&end], self.best) {
                self.look(at)?;
                open.push((start, at));
                open.push((at, end));
            }
        }
        Some(())
    }

    fn answer(self) -> Option<AboutMean> {
        let squares = self.best;
        let mut best = self.lines.into_values().filter(|line| line.about_mean() == squares);
        let first = best.next()?;
        let mut sums: Vec<i128> = best.map(|line| line.total).chain([first.total]).collect();
        sums.sort_unstable();
        sums.dedup();
        Some(AboutMean { squares, choice: first.choice, sums, anchor: self.anchor })
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
