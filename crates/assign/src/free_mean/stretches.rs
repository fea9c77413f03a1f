//! Which sums the best choices can have at all: a sieve of the possible means.
//!
//! About the sum S a choice costs n times the squared distances of its values from S/n, and at least what the slots'
//! nearest values cost, taken each for itself: F(S) ≥ Σ D² / n, where D is the least |n·v − S| of a slot.
//! Over a stretch of sums D is at least the distance of n·v from the stretch. Stretches where Σ D² is above n times
//! the best
//! known squares hold no best choice. They are divided until their width is about what D is at the best choices, in
//! passes along the sorted values: O(pairs + slots · stretches) each.

use super::rows::Rows;

/// Sums from `start` to `end`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretch {
    pub(super) start: i128,
    pub(super) end: i128,
    /// n·F is not less anywhere in it.
    pub(super) bound: i128,
}

/// Ascending, neighbours sharing an end; together all sums that a best choice can have.
pub(super) struct Stretches {
    all: Vec<Stretch>,
    width: i128,
}

/// Into so many parts stretches are divided at once.
const PARTS: i128 = 16;
/// Stretches are not divided into more than this.
const MOST: usize = 1 << 16;
/// So many stretches are looked at to find better choices.
const PROMISING: usize = 3;

impl Stretches {
    pub(super) fn new(lowest: i128, highest: i128) -> Self {
        let whole = Stretch { start: lowest, end: highest, bound: 0 };
        Self { all: vec![whole], width: highest - lowest }
    }

    /// Divides the stretches and drops those that cannot hold a choice as good as `best`; `false` if they are narrow
    /// enough.
    pub(super) fn refine(&mut self, rows: &Rows, best: i128) -> bool {
        let parts = usize::try_from(PARTS).unwrap_or(1);
        if self.width <= (best.max(0).isqrt() / 2).max(1) || self.all.len() * parts > MOST {
            return false;
        }
        self.width = (self.width + PARTS - 1) / PARTS;
        let width = self.width;
        let mut sweep = Sweep::new(rows);
        let limit = best.saturating_mul(sweep.slots);
        let mut kept = Vec::new();
        for stretch in &self.all {
            let mut start = stretch.start;
            while start < stretch.end {
                let end = (start + width).min(stretch.end);
                let bound = sweep.bound(start, end, limit);
                if bound <= limit {
                    kept.push(Stretch { start, end, bound });
                }
                start = end;
            }
        }
        self.all = kept;
        true
    }

    /// Sums in the middle of the stretches with the lowest bounds.
    pub(super) fn most_promising(&self) -> Vec<i128> {
        let mut by_bound: Vec<&Stretch> = self.all.iter().collect();
        if by_bound.len() > PROMISING {
            by_bound.select_nth_unstable_by_key(PROMISING, |stretch| (stretch.bound, stretch.start));
            by_bound.truncate(PROMISING);
        }
        by_bound.iter().map(|stretch| i128::midpoint(stretch.start, stretch.end)).collect()
    }

    /// The stretches, lowest bound first.
    pub(super) fn by_bound(mut self) -> Vec<Stretch> {
        self.all.sort_by_key(|stretch| (stretch.bound, stretch.start));
        self.all
    }
}

/// The slots' nearest values, for stretches asked for in ascending order.
struct Sweep<'a> {
    slots: i128,
    rows: &'a Rows,
    /// In every row the first distance that is not below the stretch.
    next: Vec<usize>,
}

impl<'a> Sweep<'a> {
    fn new(rows: &'a Rows) -> Self {
        let next: Vec<usize> = rows.distances().map(|_| 0).collect();
        Self { slots: next.len() as i128, rows, next }
    }

    /// Σ D² over the stretch, at least; not counted beyond `limit`.
    fn bound(&mut self, start: i128, end: i128, limit: i128) -> i128 {
        let mut total: i128 = 0;
        for (row, next) in self.rows.distances().zip(&mut self.next) {
            let at = |place: usize| row.get(place).map(|&(away, _)| self.slots * i128::from(away));
            while at(*next).is_some_and(|reached| reached < start) {
                *next += 1;
            }
            let above = at(*next).map_or(i128::MAX, |reached| (reached - end).max(0));
            let below = next.checked_sub(1).and_then(at).map_or(i128::MAX, |reached| start - reached);
            let away = above.min(below);
            total = total.saturating_add(away.saturating_mul(away));
            if total > limit {
                break;
            }
        }
        total
    }
}
