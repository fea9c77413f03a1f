//! The best sum with the prices that prove it, and one of the choices that have it, whichever.

use crate::best::Method;
use crate::problem::Problem;
use crate::region::Region;
use crate::sum;
use crate::watch::Watch;
use pairwright_proof::{Changes, Choice, Level, Prices, Proof, Refutation, Sense};

/// A best choice by a total or by squares from a target; made by [`any_best`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AnyBest {
    /// One of the best choices.
    pub choice: Choice,
    /// The value of the first criterion.
    pub value: i128,
    /// Prices that prove it, in costs: values for a least total, values turned for a greatest one, squared distances.
    pub prices: Prices,
}

impl AnyBest {
    /// The proof of the first level, for [`check_proof`](pairwright_proof::check_proof).
    pub fn proof(&self) -> Proof {
        let reason = Refutation::Prices { level: 0, prices: self.prices.clone(), then: None };
        Proof { levels: vec![Level { best: self.value, witness: None, reason }] }
    }
}

/// The best value of a problem's first criterion, with one of the choices that have it, whichever is met first.
///
/// That is less than [`solve`](crate::solve) finds out, which tells equally good choices apart by the criteria that follow and by
/// the order of their items; on large tables with many equal values it takes a small part of the time. Deterministic
/// all the same. Tables from some hundred thousand pairs on are read row by row and not copied: a few pairs of each row are kept, an
/// eighth of the row at most where rows are long.
///
/// `None` unless the first criterion is a total or squares from a target and the problem has no windows, or if it has no
/// choice.
///
/// # Examples
/// ```
/// use pairwright_assign::{Criterion, Measure, Problem, Sense, Shape, Table, any_best};
/// use pairwright_proof::check_proof;
///
/// let table = Table::from_cells(Shape { slots: 2, items: 3 }, &[Some(3), Some(1), Some(9), Some(2), Some(1), Some(7)])?;
/// let total = Criterion { table: &table, measure: Measure::Total, sense: Sense::Least, slack: 0 };
/// let problem = Problem::new(vec![total], vec![])?;
///
/// let best = any_best(&problem).ok_or("a total has prices")?;
/// assert_eq!(best.value, 3);
/// assert_eq!(check_proof(&problem.statement(), &best.choice, &[3], &best.proof())?.levels, 1);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn any_best(problem: &Problem<'_>) -> Option<AnyBest> {
    let first = problem.criteria().first()?;
    let Method::Sum(cost) = Method::of(first) else {
        return None;
    };
    if !problem.windows().is_empty() {
        return None;
    }
    let watch = Watch::unlimited();
    let is_whole =
        problem.tables().all(|table| std::ptr::eq(table, first.table)) && *problem.changes() == Changes::default();
    let value = |total: i128| if first.sense == Sense::Least { total } else { -total };
    if is_whole && let Some((choice, total, prices)) = sum::cheapest_of_all(&cost, &watch) {
        return Some(AnyBest { choice, value: value(total), prices });
    }
    let Region { grid, must, .. } = Region::whole(problem);
    let assigned = sum::cheapest_of(&cost, &grid, &must, &watch)?;
    let prices = assigned.prices(&must)?;
    Some(AnyBest { value: value(assigned.total), choice: Choice::new(assigned.choice), prices })
}
