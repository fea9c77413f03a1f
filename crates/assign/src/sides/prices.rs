//! Two totals at once: the limit on one of them as a price on the other.
//!
//! For any price p/q ≥ 0, a choice with Σa ≤ b has Σc ≥ (min Σ(q·c + p·a) − p·b)/q, and the reduced costs of that
//! assignment drop pairs as those of a plain total do. The best price lies where two lines cross, each the line of
//! a choice; the crossing of the two nearest so far is tried until no better choice turns up.
//!
//! # References
//! - A. M. Geoffrion, *Lagrangean relaxation for integer programming*, Math. Program. Study 2 (1974).
//! - G. Y. Handler and I. Zang, *A dual algorithm for the constrained shortest path problem*, Networks 10 (1980): the
//!   crossing of two lines.

use super::quotient::quotient;
use super::rules::{Limit, Part};
use super::settle::Empty;
use crate::best::{Cost, Method};
use crate::sum;
use pairwright_proof::{Item, Slot};

/// How many prices are tried.
const TRIES: usize = 6;
/// Limits beyond 2¹⁰⁰ in magnitude are left to the plain total: products with prices stay inside an `i128`.
const LARGEST: u128 = 1 << 100;

/// A limit on a total with its costs, and the cheapest choice by them.
struct Total<'t> {
    cost: Cost<'t>,
    most: i128,
}

impl<'t> Total<'t> {
    fn of(limit: &Limit<'t>) -> Option<Self> {
        match Method::of(&limit.criterion) {
            Method::Sum(cost) => Some(Self { cost, most: limit.most }),
            _ => None,
        }
    }

    fn sum(&self, choice: &[Item]) -> i128 {
        (0..).map(Slot::new).zip(choice).map(|(slot, &item)| self.cost.of(slot, item)).sum()
    }
}

/// A bound on the total of `main` over the choices of a part that keep both limits, better than that of `main` alone; drops
/// pairs that no such choice uses. `cheap` and `kept` are cheapest choices by the one and by the other; further
/// choices that come near are added to `near`.
///
/// Nothing is known (`None`) where one of the two is no total or too large, or where the cheapest choice keeps the other limit.
pub(crate) fn together(
    [main, other]: [&Limit<'_>; 2],
    part: &mut Part,
    [cheap, kept]: [&[Item]; 2],
    near: &mut Vec<Vec<Item>>,
) -> Result<Option<i128>, Empty> {
    let (Some(main), Some(other)) = (Total::of(main), Total::of(other)) else {
        return Ok(None);
    };
    let line = |choice: &[Item]| (main.sum(choice), other.sum(choice));
    let (mut cheap, mut kept) = (line(cheap), line(kept));
    if other.most.unsigned_abs() > LARGEST || cheap.1 <= other.most || kept.1 > other.most {
        return Ok(None);
    }
    let mut best = None;
    for _ in 0..TRIES {
        let Some((p, q)) = quotient(kept.0 - cheap.0, cheap.1 - kept.1) else {
            break;
        };
        let cost = |slot, item| q * main.cost.of(slot, item) + p * other.cost.of(slot, item);
        let assigned = sum::cheapest(&part.grid, &part.must, cost).ok_or(Empty)?;
        let bound = (assigned.total - p * other.most + q - 1).div_euclid(q);
        best = best.max(Some(bound));
        let spare = main.most.saturating_mul(q).saturating_add(p * other.most).saturating_sub(assigned.total);
        if spare < 0 {
            return Err(Empty);
        }
        assigned.keep_within(&mut part.grid, &mut part.must, spare, cost);
        let met = line(&assigned.choice);
        near.push(assigned.choice);
        if met == cheap || met == kept {
            break;
        }
        if met.1 > other.most { cheap = met } else { kept = met }
    }
    Ok(best)
}
