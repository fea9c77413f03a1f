//! Squares about the mean: parabolas, one for every rest that matters.
//!
//! With n slots, a rest with the sum s and the sum of squares q, and the value x, V = n·(q + x²) − (s + x)²
//! = (n − 1)·x² − 2·s·x + n·q − s². Since s² is at least 2·S·s − S² for every S, and just that for S = s, the least V over
//! all rests is n·x² + min over T of (T² − 2·T·x + F(T)), where T = S + x and F(T) is the least n·q − 2·T·s of a rest: an
//! assignment where a pair costs n·v² − 2·T·v. F is concave and straight in pieces, so the rests at its corners are all
//! that matter, whatever x is, and two known lines and their crossing tell where more of them may be.
//!
//! Between two rests V differs by a straight line in x, and without the pair it is constant. So the first x that some
//! choice beats this one at lies beyond all x where it does not, and bisecting finds it; where the choice does not have the
//! pair, up to the foot of the other one's parabola.
//!
//! # References
//! - M. J. Eisner and D. G. Severance, *Mathematical techniques for efficient record segmentation in large shared
//!   databases*, J. ACM 23 (1976): finding all breakpoints of a parametric minimum.

use super::Stretch;
use super::field::{Asked, Field};
use crate::sum;
use pairwright_proof::{Item, Slot, Table};

/// The values of a rest, counted from the value of the pair asked about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Rest {
    /// n·q.
    squares: i128,
    total: i128,
}

impl Rest {
    fn of(slots: i128, values: impl Iterator<Item = i128>) -> Self {
        let (squares, total) = values.fold((0, 0), |(squares, total), away| (squares + away * away, total + away));
        Self { squares: slots * squares, total }
    }

    /// The same with every value turned.
    fn turned(self) -> Self {
        Self { total: -self.total, ..self }
    }

    /// What it costs about a sum.
    fn line(&self, about: i128) -> i128 {
        self.squares - 2 * about * self.total
    }

    /// n·Σv² − (Σv)² together with one more value.
    fn with(&self, slots: i128, value: i128) -> i128 {
        value * ((slots - 1) * value - 2 * self.total) + self.squares - self.total * self.total
    }
}

impl Field<'_> {
    pub(super) fn by_squares(&self, asked: Asked) -> Stretch {
        let slots = self.whole.grid.slot_count() as i128;
        if slots == 1 {
            return Stretch { low: None, high: None };
        }
        let value = i128::from(asked.value);
        let limit = i128::from(Table::LIMIT);
        let rests = self.corners(asked, slots);
        let own = asked.is_chosen.then(|| Rest::of(slots, self.own_rest(asked).map(|other| i128::from(other) - value)));
        let without = if asked.is_chosen { self.without(asked) } else { None };
        let up = Upwards { slots, best: self.best, own, without, last: limit - value };
        let down = Upwards { own: own.map(Rest::turned), last: limit + value, ..up };
        let turned: Vec<Rest> = rests.iter().map(|rest| rest.turned()).collect();
        Stretch {
            low: down.first_worse(&turned).map(|first| value - (first - 1)),
            high: up.first_worse(&rests).map(|first| value + (first - 1)),
        }
    }

    /// Every rest that is best with some value of the pair; none if no choice has the pair.
    fn corners(&self, asked: Asked, slots: i128) -> Vec<Rest> {
        // No sum of values lies farther from that of as many of the present one.
        let end = slots * 2 * i128::from(Table::LIMIT);
        let (Some(first), Some(last)) =
            (self.cheapest_about(asked, slots, -end), self.cheapest_about(asked, slots, end))
        else {
            return Vec::new();
        };
        let mut found = vec![first, last];
        let mut open = vec![((-end, first), (end, last))];
        while let Some(((start, left), (stop, right))) = open.pop() {
            let is_known = left.line(stop) == right.line(stop) || right.line(start) == left.line(start);
            if is_known || stop - start < 2 {
                continue;
            }
            let crossing = (left.squares - right.squares).div_euclid(2 * (left.total - right.total));
            let about = crossing.clamp(start + 1, stop - 1);
            if let Some(rest) = self.cheapest_about(asked, slots, about) {
                found.push(rest);
                open.extend([((start, left), (about, rest)), ((about, rest), (stop, right))]);
            }
        }
        found
    }

    /// The rest that is cheapest about a sum.
    fn cheapest_about(&self, asked: Asked, slots: i128, about: i128) -> Option<Rest> {
        let table = self.criterion.table;
        let away = |slot: Slot, item: Item| i128::from(table.row(slot)[item.index()]) - i128::from(asked.value);
        let cost =
            |slot, item| if slot == asked.slot { 0 } else { away(slot, item) * (slots * away(slot, item) - 2 * about) };
        let (_, choice) = self.under_windows(self.forced(asked), |region| {
            let assigned = sum::cheapest(&region.grid, &region.must, cost)?;
            Some((assigned.total, assigned.choice))
        })?;
        let rest = self.whole.grid.slots().zip(choice).filter(|&(slot, _)| slot != asked.slot);
        Some(Rest::of(slots, rest.map(|(slot, item)| away(slot, item))))
    }
}

/// What there is to compare as the value goes up from 0.
#[derive(Clone, Copy)]
struct Upwards {
    slots: i128,
    /// What the choice is worth, if it does not have the pair.
    best: i128,
    /// The choice's own rest, if it does.
    own: Option<Rest>,
    /// What the best choice without the pair is worth.
    without: Option<i128>,
    /// The last value that a table can hold.
    last: i128,
}

impl Upwards {
    /// The first value at which the choice is not best any more.
    fn first_worse(&self, rests: &[Rest]) -> Option<i128> {
        let against_rest = |rest: &Rest| self.first_behind(rest);
        let against_without = self
            .own
            .zip(self.without)
            .and_then(|(own, without)| first(self.last, |value| own.with(self.slots, value) > without));
        rests.iter().filter_map(against_rest).chain(against_without).min()
    }

    /// The first value at which a choice with this rest is better.
    fn first_behind(&self, rest: &Rest) -> Option<i128> {
        let worth = |value| rest.with(self.slots, value);
        if let Some(own) = self.own {
            return first(self.last, |value| own.with(self.slots, value) > worth(value));
        }
        let foot = rest.total.div_euclid(self.slots - 1);
        let near = [foot, foot + 1].map(|value| value.clamp(0, self.last));
        let lowest = near.into_iter().find(|&value| worth(value) < self.best)?;
        first(lowest, |value| worth(value) < self.best)
    }
}

/// The first value up to `last` for which something is true that stays true, and is not at 0.
fn first(last: i128, holds: impl Fn(i128) -> bool) -> Option<i128> {
    if last <= 0 || !holds(last) {
        return None;
    }
    let (mut not, mut first) = (0, last);
    while first - not > 1 {
        let middle = i128::midpoint(not, first);
        if holds(middle) {
            first = middle;
        } else {
            not = middle;
        }
    }
    Some(first)
}
