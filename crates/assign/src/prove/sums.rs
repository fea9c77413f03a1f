//! Prices for squares about the mean: sum by sum.
//!
//! About a sum T every choice costs at least F(T) − T², so that one with the sum S has squares about its mean of at
//! least F(T) − (S − T)². Prices about T settle all sums within √(F(T) − limit) of it; the rest is divided in the
//! middle.

use super::refute::{Left, Refuter};
use crate::free_mean::{Rows, cost_about};
use crate::sum::Assigned;
use pairwright_proof::{Prices, Refutation, SumRun};

/// Stretches of sums at most.
const MOST: usize = 1 << 13;

impl<'t> Refuter<'_, 't> {
    /// Why no choice among what is left is within the level's limit and those still unused.
    pub(super) fn sums(&mut self, left: &Left<'t>, level: usize) -> Option<Refutation> {
        let table = self.problem.criteria()[level].table;
        let rows = Rows::new(&left.grid, table);
        let slots = left.grid.slot_count() as i128;
        let anchor = i128::from(rows.anchor());
        let limit = self.limits[level];
        let mut runs = Vec::new();
        let mut open = vec![rows.reach()];
        while let Some((first, last)) = open.pop() {
            if first > last {
                continue;
            }
            if runs.len() == MOST {
                return None;
            }
            self.spend(&left.grid)?;
            let about = i128::midpoint(first, last);
            let cost = cost_about(table, rows.anchor(), about);
            let assigned = rows.cheapest(about, &left.grid, &left.must, &cost)?;
            let above = assigned.total + about * about - limit;
            let reach = if above > 0 { (above - 1).isqrt() } else { 0 };
            let then = if above > 0 {
                None
            } else {
                let mut rest = left.clone();
                assigned.keep_within(&mut rest.grid, &mut rest.must, -above, &cost);
                Some(Box::new(self.refute(rest)?))
            };
            let (from, until) = (first.max(about - reach), last.min(about + reach));
            let prices = from_zero(&assigned, left, about, anchor)?;
            runs.push(SumRun { until: until + slots * anchor, about: about + slots * anchor, prices, then });
            open.push((first, from - 1));
            open.push((until + 1, last));
        }
        runs.sort_by_key(|run| run.until);
        Some(Refutation::Sums { level, runs })
    }
}

/// Prices for values as they stand, from prices for values from the anchor: with v = d + a and about T + n·a a pair
/// costs
/// 2·T·a + n·a² less than n·d² − 2·T·d.
fn from_zero(assigned: &Assigned, left: &Left<'_>, about: i128, anchor: i128) -> Option<Prices> {
    let mut prices = assigned.prices(&left.must)?;
    let slots = prices.slots.len() as i128;
    for price in &mut prices.slots {
        *price -= 2 * about * anchor + slots * anchor * anchor;
    }
    Some(prices)
}
