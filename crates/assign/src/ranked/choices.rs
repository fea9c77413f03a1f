//! The choices, one after the other.

use super::anew::Anew;
use super::costs::Costs;
use super::inherit::Inherit;
use crate::best::Method;
use crate::outcome::Solution;
use crate::problem::Problem;
use crate::region::Region;

/// Why the choices of a problem are not ranked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum RankError {
    /// A criterion gives some slack, so that its values do not decide the order.
    #[error("criterion {criterion} gives some slack, so that there is no order of choices")]
    Slack {
        /// Its place in the chain.
        criterion: usize,
    },
    /// A criterion has no exact method.
    #[error("criterion {criterion} wants values far out and is not solved exactly")]
    Far {
        /// Its place in the chain.
        criterion: usize,
    },
}

/// Choices in order: values of the chain first, then items in slot order. Made by [`ranked`].
#[derive(Clone, Debug)]
pub struct Ranked<'t>(Way<'t>);

/// How they are found.
#[derive(Clone, Debug)]
pub(super) enum Way<'t> {
    /// Not asked for yet.
    Unopened(Problem<'t>),
    Anew(Anew<'t>),
    Inherit(Box<Inherit<'t, i64>>),
    /// The same where costs need more room.
    InheritWide(Box<Inherit<'t, i128>>),
}

/// All choices that keep the rules of a problem, the best one first, each one once.
///
/// Nothing is solved before the first choice is asked for. Choices of equal values follow each other in the order
/// of their items.
///
/// With n slots and m items the first choice takes a [`solve`](crate::solve()) and every further one at most a solve a slot.
/// Where the first criterion is a total or squares from a target, and there are no windows and no items brought in, these
/// solves are one shortest way each, O(n·m + n²), and bounds leave out most of them; the costs of all pairs are copied once, and each
/// choice and part takes room for O(n).
///
/// # Errors
/// [`RankError`] if a criterion gives slack or has no exact method.
///
/// # Examples
/// ```
/// use pairwright_assign::{Criterion, Measure, Problem, Sense, Shape, Table, ranked};
///
/// let table = Table::from_cells(Shape { slots: 2, items: 2 }, &[Some(3), Some(1), Some(2), Some(4)])?;
/// let total = Criterion { table: &table, measure: Measure::Total, sense: Sense::Least, slack: 0 };
/// let totals: Vec<i128> = ranked(&Problem::new(vec![total], vec![])?)?.map(|choice| choice.values[0]).collect();
/// assert_eq!(totals, [3, 7]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn ranked<'t>(problem: &Problem<'t>) -> Result<Ranked<'t>, RankError> {
    for (criterion, asked) in problem.criteria().iter().enumerate() {
        if asked.slack > 0 {
            return Err(RankError::Slack { criterion });
        }
        if matches!(Method::of(asked), Method::Far) {
            return Err(RankError::Far { criterion });
        }
    }
    Ok(Ranked(Way::Unopened(problem.clone())))
}

impl<'t> Way<'t> {
    pub(super) fn open(problem: &Problem<'t>) -> Self {
        Self::inheriting(problem).unwrap_or_else(|| Self::Anew(Anew::new(problem)))
    }

    fn inheriting(problem: &Problem<'t>) -> Option<Self> {
        let Method::Sum(cost) = Method::of(problem.criteria().first()?) else {
            return None;
        };
        if !problem.windows().is_empty() || !problem.changes().brought_in.is_empty() {
            return None;
        }
        let region = Region::whole(problem);
        if let Some(costs) = Costs::new(&cost, &region.grid) {
            return Some(Self::Inherit(Box::new(Inherit::new(problem, &cost, &region, costs)?)));
        }
        let costs = Costs::new(&cost, &region.grid)?;
        Some(Self::InheritWide(Box::new(Inherit::new(problem, &cost, &region, costs)?)))
    }
}

impl Iterator for Ranked<'_> {
    type Item = Solution;

    fn next(&mut self) -> Option<Solution> {
        if let Way::Unopened(problem) = &self.0 {
            self.0 = Way::open(problem);
        }
        match &mut self.0 {
            Way::Unopened(_) => None,
            Way::Anew(parts) => parts.next(),
            Way::Inherit(parts) => parts.next(),
            Way::InheritWide(parts) => parts.next(),
        }
    }
}
