//! A limit on a spread, as stretches of the fit it bounds.
//!
//! Parts whose values of a fit lie within so many ticks of each other all lie in one stretch of that width. So the choice
//! under such a limit is the best of the choices in each stretch, and inside a stretch the limit compares no two positions
//! any more: searches and proofs of joint choices are far shorter for it.

use std::collections::BTreeSet;

use super::apart::{Apart, Place};

/// Fewer stretches than this are always worth it.
const FEW: usize = 512;

/// The stretches of one limit.
#[derive(Debug)]
pub(super) struct Stretches {
    /// Index of the limit among those on two positions at once.
    limit: usize,
    width: i64,
    /// Whether every two positions inside a stretch hold the limit.
    is_exact: bool,
    /// Where stretches begin, ascending.
    bottoms: Vec<i64>,
}

impl Stretches {
    /// The stretches of whichever limit has fewest; none where no limit has few.
    ///
    /// `positions` holds, for every way to dress a bank, a row for every position; rows of other banks' are empty.
    pub(super) fn of(apart: &[Apart<'_>], positions: usize) -> Option<Self> {
        let all = apart.iter().enumerate().filter_map(|(limit, apart)| {
            let width = apart.width()?;
            let bottoms = bottoms(apart, positions, width.ticks);
            Some(Self { limit, width: width.ticks, is_exact: width.is_exact, bottoms })
        });
        all.filter(|stretches| stretches.bottoms.len() <= FEW).min_by_key(|stretches| stretches.bottoms.len())
    }

    /// Where the stretches begin.
    pub(super) fn begin(&self) -> Vec<Option<i64>> {
        self.bottoms.iter().copied().map(Some).collect()
    }

    /// Whether the fit that this limit bounds lies in the stretch from `bottom` there.
    pub(super) fn holds(&self, apart: &[Apart<'_>], (cell, at): (usize, usize), bottom: i64) -> bool {
        let value = apart.get(self.limit).and_then(|apart| apart.value(cell, at));
        value.is_some_and(|value| (bottom..=bottom.saturating_add(self.width)).contains(&value))
    }

    /// Whether two positions of one stretch hold every limit.
    pub(super) fn hold_beside(&self, apart: &[Apart<'_>], one: Place<'_>, other: Place<'_>) -> bool {
        apart.iter().enumerate().all(|(at, apart)| self.settles(at) || apart.holds(one, other))
    }

    /// Whether nothing is left to compare between two positions of one stretch.
    pub(super) fn settle_all(&self, apart: &[Apart<'_>]) -> bool {
        (0..apart.len()).all(|at| self.settles(at))
    }

    fn settles(&self, limit: usize) -> bool {
        self.is_exact && limit == self.limit
    }
}

/// Where stretches begin that hold a value of every position, and more than another stretch.
fn bottoms(apart: &Apart<'_>, positions: usize, width: i64) -> Vec<i64> {
    let mut of_positions = vec![BTreeSet::new(); positions];
    for (cell, values) in apart.values().enumerate() {
        of_positions[cell % positions.max(1)].extend(values);
    }
    let all: BTreeSet<i64> = of_positions.iter().flatten().copied().collect();
    let mut bottoms = Vec::new();
    let mut reached = None;
    for &bottom in &all {
        let top = bottom.saturating_add(width);
        let last = all.range(bottom..=top).next_back().copied();
        if of_positions.iter().all(|own| own.range(bottom..=top).next().is_some()) && last > reached {
            bottoms.push(bottom);
            reached = last;
        }
    }
    bottoms
}
