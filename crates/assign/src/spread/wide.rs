//! Which values can lie in a narrow window, for tables of any number of slots.
//!
//! Values are dropped into buckets; a bucket has a bit for every slot that has a value there, and for every item that must
//! be used. A choice with a spread of s has all its values in a run of buckets that is little longer than s and in which every
//! bit is set. For each first bucket the shortest such run is found by sliding a window along, the union of which is kept as
//! that of two halves. What lies in no run that is short enough cannot matter.
//!
//! O(pairs) to fill and to look, and three unions a bucket. Pairs are read again when the window comes to their values, some at a time, so
//! that they need not all stand in memory.

use super::ahead::Lines;
use super::{Later, Narrowest, Pair, Sweep, given_of};
use crate::grid::{Bits, Grid};
use crate::watch::Watch;
use pairwright_proof::Table;
use std::ops::{Range, RangeInclusive};

/// A known spread so many times the bound is tried at once, if no more than so many times more pairs are to be looked at.
const NEAR: i64 = 16;
const FEW_TIMES: usize = 32;

/// The least spread, where its windows lie and a choice that has it: looked for among the pairs that can matter, from the
/// buckets' bound upwards. Ended early, the best met, if any.
pub(super) fn least(grid: &Grid, table: &Table, must: &Bits, watch: &Watch<'_>) -> Option<Narrowest> {
    let lines = Lines::of(grid, table);
    let (lowest, highest) = lines.outermost()?;
    let most = lines.of_opposites(grid, table).filter(|_| must.is_empty()).unwrap_or(highest.saturating_sub(lowest));
    let buckets = Buckets::new(grid, table, must, lines.that_matter(most)?);
    let finest = (1 << buckets.shift) - 1;
    let mut width = buckets.bound()?.max(lines.bound()).saturating_add(2 * finest).min(most);
    if most / NEAR <= width && buckets.count(most) <= FEW_TIMES * buckets.count(width) {
        width = most;
    }
    let mut step = (width / 8).max(1);
    loop {
        let sweep = Sweep::over(buckets.shape(), buckets.pairs(width), must);
        let found = super::least_within(sweep, width, given_of(grid, table, must), watch);
        if found.is_some() || width >= most || watch.stopped().is_some() {
            return found;
        }
        width = width.saturating_add(step).min(most);
        step *= 2;
    }
}

/// The buckets of a grid's values.
struct Buckets<'a> {
    grid: &'a Grid,
    table: &'a Table,
    values: RangeInclusive<i64>,
    shift: u32,
    /// How many pairs there are in every bucket.
    counts: Vec<usize>,
    /// For every bucket the last one of the shortest complete run that begins there, while there is one.
    ends: Vec<usize>,
}

/// So many-th part of the pairs is read at a time: memory for two of them is less than a fifth of the table.
const A_TIME: usize = 24;

/// Buckets at most for every line: enough to tell windows apart.
const BUCKETS_A_LINE: usize = 16;
/// Masks take at most an eighth of the table, unless there are so few buckets.
const A_MASK: usize = 8;
const FEWEST: usize = 1 << 12;

impl<'a> Buckets<'a> {
    /// The buckets of the pairs with these values.
    fn new(grid: &'a Grid, table: &'a Table, must: &Bits, values: RangeInclusive<i64>) -> Self {
        let range = values.end().abs_diff(*values.start());
        let mut shift = 0;
        let lines = grid.slot_count() + grid.item_count();
        let most = BUCKETS_A_LINE * lines;
        let most = most.min(FEWEST.max(grid.slot_count() * grid.item_count() / (A_MASK * lines.div_ceil(64)))) as u64;
        while range >> shift >= most {
            shift += 1;
        }
        let count = usize::try_from(range >> shift).unwrap_or(0) + 1;
        let mut buckets = Self { grid, table, values, shift, counts: vec![0; count], ends: Vec::new() };
        buckets.ends = buckets.fill(must).shortest_runs();
        buckets
    }

    /// The bucket of a value; `None` if it does not matter.
    fn bucket(&self, value: i64) -> Option<usize> {
        let above = value.wrapping_sub(*self.values.start()) >> self.shift;
        usize::try_from(above).ok().filter(|_| self.values.contains(&value))
    }

    fn fill(&mut self, must: &Bits) -> Masks {
        let slots = self.grid.slot_count();
        let all_used = slots == self.grid.item_count();
        let lines = slots + if all_used || !must.is_empty() { self.grid.item_count() } else { 0 };
        let width = lines.div_ceil(64);
        let mut counts = vec![0; self.counts.len()];
        let mut words = vec![0; width * counts.len()];
        for slot in self.grid.slots() {
            let bit = slot.index();
            self.grid.each_value(slot, self.table.row(slot), |item, value| {
                let Some(bucket) = self.bucket(value) else { return };
                counts[bucket] += 1;
                let of_bucket = bucket * width;
                words[of_bucket + bit / 64] |= 1 << (bit % 64);
                if lines > slots {
                    let bit = slots + item.index();
                    words[of_bucket + bit / 64] |= 1 << (bit % 64);
                }
            });
        }
        self.counts = counts;
        let mut full = Bits::none(lines);
        (0..slots).for_each(|slot| full.set(slot));
        (0..lines - slots).filter(|&item| all_used || must.has(item)).for_each(|item| full.set(slots + item));
        Masks { words, width, full: full.words().to_vec() }
    }

    /// No choice has a smaller spread; `None` if there is no choice.
    fn bound(&self) -> Option<i64> {
        let beyond = self.ends.iter().enumerate().map(|(first, &last)| last - first).min()?;
        // A run of k + 1 buckets is needed: the ends are more than k − 1 buckets apart.
        let apart = (beyond.max(1) as u64 - 1) << self.shift;
        Some(apart.cast_signed() + i64::from(beyond > 0))
    }

    /// Whether each bucket is part of a complete run that a choice of this spread can reach over.
    fn live(&self, spread: i64) -> Vec<bool> {
        let beyond = usize::try_from(spread.max(0).cast_unsigned().div_ceil(1 << self.shift)).unwrap_or(usize::MAX);
        let mut live = vec![false; self.counts.len()];
        let mut marked = 0;
        for (first, &last) in self.ends.iter().enumerate() {
            let reach = first.saturating_add(beyond).min(self.counts.len() - 1);
            if last <= reach {
                live[first.max(marked)..=reach].fill(true);
                marked = reach + 1;
            }
        }
        live
    }

    /// How many pairs a choice of at most this spread may use.
    fn count(&self, spread: i64) -> usize {
        self.live(spread).iter().zip(&self.counts).filter(|(live, _)| **live).map(|(_, count)| count).sum()
    }

    fn shape(&self) -> (u32, usize) {
        (u32::try_from(self.grid.slot_count()).expect("a table has at most 2^20 slots"), self.grid.item_count())
    }

    /// Every pair that a choice of at most this spread may use, those of some buckets at a time.
    fn pairs(&self, spread: i64) -> Later<'_> {
        let live = self.live(spread);
        let most = self.grid.slot_count() * self.grid.item_count() / A_TIME;
        let mut next = 0;
        Box::new(move || {
            let first = next;
            let mut count = 0;
            while next < live.len() && (count == 0 || count + self.counts[next] <= most) {
                count += if live[next] { self.counts[next] } else { 0 };
                next += 1;
            }
            let mut pairs = Vec::with_capacity(count);
            if count > 0 {
                self.each_of(first..next, |pair, bucket| {
                    if live[bucket] {
                        pairs.push(pair);
                    }
                });
            }
            pairs
        })
    }

    /// Every pair of some buckets.
    fn each_of(&self, buckets: Range<usize>, mut see: impl FnMut(Pair, usize)) {
        let start = |bucket: usize| self.values.start().saturating_add_unsigned((bucket as u64) << self.shift);
        let (low, end) = (start(buckets.start), start(buckets.end));
        let mut grid = self.grid.clone();
        for slot in grid.slots() {
            let row = self.table.row(slot);
            grid.keep_values(slot, row, |value| low <= value && value < end);
            grid.each_value(slot, row, |item, value| {
                if let Some(bucket) = self.bucket(value) {
                    see(Pair { value, slot, item }, bucket);
                }
            });
        }
    }
}

/// A set of lines for every bucket.
struct Masks {
    words: Vec<u64>,
    width: usize,
    full: Vec<u64>,
}

impl Masks {
    fn of(&self, bucket: usize) -> &[u64] {
        &self.words[bucket * self.width..][..self.width]
    }

    /// For every first bucket, as long as there is one, the last bucket of the shortest run with all lines.
    ///
    /// The run `first..end` is two halves, cut at `middle`: the unions of all buckets from each one to the middle are known, and
    /// that of the buckets behind it.
    fn shortest_runs(&self) -> Vec<usize> {
        let count = self.words.len() / self.width;
        let mut before = Vec::new();
        let mut behind = vec![0; self.width];
        let (mut base, mut middle, mut end) = (0, 0, 0);
        let mut ends = Vec::with_capacity(count);
        for first in 0..count {
            if first >= middle {
                // What was behind the middle is before it from now on.
                base = first;
                before.clear();
                before.resize((end - first) * self.width, 0);
                for bucket in (first..end).rev() {
                    let (own, after) = before[(bucket - base) * self.width..].split_at_mut(self.width);
                    own.copy_from_slice(self.of(bucket));
                    if bucket + 1 < end {
                        unite(own, &after[..self.width]);
                    }
                }
                behind.fill(0);
                middle = end;
            }
            loop {
                let so_far =
                    if first < middle { &before[(first - base) * self.width..][..self.width] } else { &behind };
                if self.is_full(so_far, &behind) {
                    break;
                }
                if end == count {
                    return ends;
                }
                unite(&mut behind, self.of(end));
                end += 1;
            }
            ends.push(end - 1);
        }
        ends
    }

    fn is_full(&self, one: &[u64], other: &[u64]) -> bool {
        self.full.iter().zip(one).zip(other).all(|((full, one), other)| (one | other) & full == *full)
    }
}

fn unite(set: &mut [u64], more: &[u64]) {
    for (word, more) in set.iter_mut().zip(more) {
        *word |= more;
    }
}

#[cfg(test)]
mod tests;
