//! Prices that close a part, or take pairs out of it.

use crate::best::{Cost, Method};
use crate::sides::quotient::quotient;
use crate::sides::rules::{Limit, Part};
use crate::sum::{self, Assigned};
use crate::watch::Watch;
use pairwright_proof::{Item, Prices, Slot};

/// How many pairs of weights are tried for two sums.
const TRIES: usize = 8;
/// Limits beyond 2¹⁰⁰ in magnitude are left alone: products with weights stay inside an `i128`.
const LARGEST: u128 = 1 << 100;

/// A limit on a sum, and the cheapest choice by it alone.
pub(super) struct Priced<'t> {
    /// Its place among the limits.
    pub(super) at: usize,
    cost: Cost<'t>,
    most: i128,
    pub(super) assigned: Assigned,
}

/// Limits with weights, and prices for the weighted sum.
pub(super) struct Weighed {
    pub(super) of: Vec<(usize, i128)>,
    pub(super) prices: Prices,
}

impl<'t> Priced<'t> {
    /// `None` if the limit is none on a sum, or the part has no choice.
    pub(super) fn of(at: usize, limit: &Limit<'t>, part: &Part) -> Option<Self> {
        let Method::Sum(cost) = Method::of(&limit.criterion) else { return None };
        let assigned = sum::cheapest_of(&cost, &part.grid, &part.must, &Watch::unlimited())?;
        Some(Self { at, cost, most: limit.most, assigned })
    }

    pub(super) fn closes(&self) -> bool {
        self.assigned.total > self.most
    }

    pub(super) fn weighed(&self, part: &Part) -> Option<Weighed> {
        Some(Weighed { of: vec![(self.at, 1)], prices: self.assigned.prices(&part.must)? })
    }

    /// What is left within the prices of this limit.
    pub(super) fn sieved(&self, part: &Part) -> Part {
        let Part { mut grid, mut must } = part.clone();
        let leftover = self.most.saturating_sub(self.assigned.total);
        self.assigned.keep_of(&self.cost, &mut grid, &mut must, leftover);
        Part { grid, must }
    }

    fn sum(&self, choice: &[Item]) -> i128 {
        (0..).map(Slot::new).zip(choice).map(|(slot, &item)| self.cost.of(slot, item)).sum()
    }
}

/// Weights and prices of two sums that close a part together, if such were found: from one crossing of the lines of two
/// choices to the next (Handler and Zang 1980).
pub(super) fn two_close(one: &Priced<'_>, other: &Priced<'_>, part: &Part) -> Option<Weighed> {
    if one.most.unsigned_abs() > LARGEST || other.most.unsigned_abs() > LARGEST {
        return None;
    }
    let line = |choice: &[Item]| (one.sum(choice), other.sum(choice));
    let (mut cheap, mut kept) = (line(&one.assigned.choice), line(&other.assigned.choice));
    if cheap.1 <= other.most || kept.0 <= one.most {
        return None;
    }
    for _ in 0..TRIES {
        let (p, q) = quotient(kept.0 - cheap.0, cheap.1 - kept.1)?;
        let cost = |slot, item| q * one.cost.of(slot, item) + p * other.cost.of(slot, item);
        let assigned = sum::cheapest(&part.grid, &part.must, cost)?;
        if assigned.total > q * one.most + p * other.most {
            let prices = assigned.prices(&part.must)?;
            return Some(Weighed { of: vec![(one.at, q), (other.at, p)], prices });
        }
        let met = line(&assigned.choice);
        if met == cheap || met == kept {
            return None;
        }
        if met.1 > other.most { cheap = met } else { kept = met }
    }
    None
}
