//! Which values can lie in a narrow window at all: those near which every slot has one.
//!
//! Values are dropped into buckets, a bit a slot. A choice with spread s has its values in a run of 1 + ⌈s / width⌉
//! buckets, and in that run every slot, and every item that must be used, has a value. Runs where some bit is missing
//! hold
//! no choice; pairs outside all other runs cannot matter. O(pairs + buckets) for the bits and once more for each width
//! asked for; nothing is sorted. Values beyond what all slots can reach go into the outermost buckets, which only
//! shortens runs.

use crate::allowed::Allowed;
use crate::spread::Pair;
use pairwright_proof::Table;
use std::ops::RangeInclusive;

/// The buckets of a table.
pub(crate) struct Sieve {
    low: i64,
    shift: u32,
    masks: Vec<u64>,
    full: u64,
    /// Values that lie in every window that holds a choice.
    core: RangeInclusive<i64>,
    /// No choice has a smaller spread.
    pub(crate) least: i64,
    /// No choice has a larger one.
    pub(crate) most: i64,
}

/// Pairs that a sieve let through.
pub(crate) struct Kept {
    /// Slots ascending, items ascending.
    pub(crate) pairs: Vec<Pair>,
    /// Whether no pair was held back because others of its slot and value are enough.
    pub(crate) are_all: bool,
}

/// Most buckets.
const BUCKETS: usize = 1 << 19;
/// Most bits.
const BITS: usize = 64;

impl Sieve {
    /// `None` if there are more than 64 slots, or some slot has no value.
    pub(crate) fn new(allowed: &Allowed<'_>) -> Option<Self> {
        let slots = allowed.table.shape().slots;
        if slots == 0 || slots > BITS {
            return None;
        }
        let (mut reach_up, mut reach_down) = (i64::MIN, i64::MAX);
        let (mut low, mut high) = (i64::MAX, i64::MIN);
        for slot in allowed.slots() {
            let (least, most) = ends(&allowed.table.row(slot)[allowed.run(slot)])?;
            reach_up = reach_up.max(least);
            reach_down = reach_down.min(most);
            low = low.min(least);
            high = high.max(most);
        }
        // A narrow window reaches a little beyond.
        let beyond = reach_up.abs_diff(reach_down) / 8 + 64;
        let base = reach_up.min(reach_down).saturating_sub_unsigned(beyond);
        let range = reach_up.max(reach_down).saturating_add_unsigned(beyond).abs_diff(base);
        let most_buckets = (8 * allowed.table.shape().items).clamp(1 << 10, BUCKETS);
        let mut shift = 0;
        while range >> shift >= most_buckets as u64 {
            shift += 1;
        }
        let count = usize::try_from(range >> shift).unwrap_or(0) + 1;
        let bits = slots + allowed.must.len().min(BITS - slots);
        let full = if bits == BITS { u64::MAX } else { (1 << bits) - 1 };
        let mut sieve = Self {
            low: base,
            shift,
            masks: vec![0; count],
            full,
            core: reach_down..=reach_up,
            least: 0,
            most: high - low,
        };
        sieve.fill(allowed);
        sieve.least = sieve.bound()?.max(reach_up.saturating_sub(reach_down)).max(0);
        Some(sieve)
    }

    fn fill(&mut self, allowed: &Allowed<'_>) {
        for slot in allowed.slots() {
            let bit = 1 << slot.index();
            for &value in &allowed.table.row(slot)[allowed.run(slot)] {
                if value != Table::FORBIDDEN {
                    let at = self.bucket(value);
                    self.masks[at] |= bit;
                }
            }
        }
        let slots = allowed.table.shape().slots;
        for (bit, &item) in (slots..BITS).zip(&allowed.must) {
            for slot in allowed.slots() {
                if let Some(value) = allowed.table.get(slot, item) {
                    let at = self.bucket(value);
                    self.masks[at] |= 1 << bit;
                }
            }
        }
    }

    fn bucket(&self, value: i64) -> usize {
        let above = value.wrapping_sub(self.low).max(0) >> self.shift;
        usize::try_from(above).unwrap_or(usize::MAX).min(self.masks.len() - 1)
    }

    /// How many buckets beyond its first a window of this width can reach.
    fn beyond(&self, width: i64) -> usize {
        let width = width.max(0).cast_unsigned();
        usize::try_from(width.div_ceil(1 << self.shift)).unwrap_or(usize::MAX)
    }

    /// The least spread for which some run is complete.
    fn bound(&self) -> Option<i64> {
        if self.masks.contains(&self.full) {
            return Some(0);
        }
        let mut run = Run::new();
        let mut first = 0;
        let mut shortest = None;
        for (last, &mask) in self.masks.iter().enumerate() {
            run.add(mask);
            while run.has == self.full {
                let beyond = last - first;
                shortest = Some(shortest.map_or(beyond, |before: usize| before.min(beyond)));
                run.remove(self.masks[first]);
                first += 1;
            }
        }
        // A run of k + 1 buckets is needed: the ends are more than k − 1 buckets apart.
        shortest.map(|beyond| (((beyond.max(1) - 1) as u64) << self.shift).cast_signed() + i64::from(beyond > 0))
    }

    /// For every bucket whether it is part of a complete run for this width.
    fn live(&self, width: i64) -> Vec<bool> {
        let beyond = self.beyond(width);
        if beyond == 0 {
            return self.masks.iter().map(|&mask| mask == self.full).collect();
        }
        let mut live = vec![false; self.masks.len()];
        let mut run = Run::new();
        let mut marked = 0;
        for (last, &mask) in self.masks.iter().enumerate() {
            run.add(mask);
            let first = last.saturating_sub(beyond);
            if last > beyond {
                run.remove(self.masks[first - 1]);
            }
            if run.has == self.full {
                live[first.max(marked)..=last].fill(true);
                marked = last + 1;
            }
        }
        live
    }

    /// Every pair that a choice of at most this spread may use.
    ///
    /// Of the pairs of one slot and one value only as many are given as there are slots, where the buckets tell values
    /// apart, and as many of those that lie in every window: enough for any purpose for which items of one value are
    /// as good as each other, since
    /// one of them is always left over. Items that must be used are always given.
    pub(crate) fn pairs(&self, allowed: &Allowed<'_>, width: i64) -> Kept {
        let live = self.live(width);
        let last = live.len() - 1;
        let enough = allowed.table.shape().slots;
        let mut met: Vec<usize> = if self.shift == 0 { vec![0; live.len()] } else { Vec::new() };
        let mut pairs = Vec::new();
        let mut are_all = true;
        for slot in allowed.slots() {
            met.fill(0);
            let mut in_core = 0;
            for (item, value) in allowed.cells(slot) {
                let at = self.bucket(value);
                if !live[at] {
                    continue;
                }
                // The outermost buckets hold many values.
                let is_one_value = self.shift == 0 && at > 0 && at < last;
                let is_core = self.core.contains(&value);
                let is_spare = is_one_value && met[at] >= enough || is_core && in_core >= enough;
                if is_spare && allowed.must.binary_search(&item).is_err() {
                    are_all = false;
                    continue;
                }
                if allowed.has(slot, item) {
                    pairs.push(Pair { value, slot, item });
                    in_core += usize::from(is_core);
                    if let Some(met) = met.get_mut(at) {
                        *met += 1;
                    }
                }
            }
        }
        Kept { pairs, are_all }
    }
}

/// How often every bit is set in a run of buckets.
struct Run {
    counts: [u32; BITS],
    has: u64,
}

impl Run {
    fn new() -> Self {
        Self { counts: [0; BITS], has: 0 }
    }

    fn add(&mut self, mask: u64) {
        for bit in bits(mask) {
            self.counts[bit] += 1;
        }
        self.has |= mask;
    }

    fn remove(&mut self, mask: u64) {
        for bit in bits(mask) {
            self.counts[bit] -= 1;
            if self.counts[bit] == 0 {
                self.has &= !(1 << bit);
            }
        }
    }
}

fn bits(mut mask: u64) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        (mask != 0).then(|| {
            let bit = mask.trailing_zeros() as usize;
            mask &= mask - 1;
            bit
        })
    })
}

/// The smallest and the largest value of a row; `None` if it has none.
fn ends(row: &[i64]) -> Option<(i64, i64)> {
    let mut least = i64::MAX;
    let mut most = i64::MIN;
    for &value in row {
        // Forbidden is below every value, and above them when taken without its sign.
        least = least.min(if value == Table::FORBIDDEN { i64::MAX } else { value });
        most = most.max(value);
    }
    (least <= most && most != Table::FORBIDDEN).then_some((least, most))
}
