//! All choices in the order of a chain, as many as are asked for.
//!
//! The choices still to come are divided into parts: for the best one of a part, each slot in turn keeps the items of
//! the
//! slots before it and gives up its own (Murty 1968). A part is solved only when its bound comes up: that of the
//! choice it
//! was divided from and, where the first criterion is a sum, what giving up the slot's item costs at least by the
//! prices.
//! Each choice costs at most one solve a slot.
//!
//! # References
//! - K. G. Murty, *An algorithm for ranking all the assignments in order of increasing cost*, Oper. Res. 16 (1968).
//! - M. L. Miller, H. S. Stone and I. J. Cox, *Optimizing Murty's ranked assignment method*, IEEE Trans. Aerosp.
//!   Electron.
//!   Syst. 33 (1997): bounds first, solves when they come up.

use crate::best::{Method, score};
use crate::chain::solve;
use crate::outcome::{Outcome, Solution};
use crate::problem::Problem;
use crate::region::Region;
use crate::sensitivity::Sensitivity;
use pairwright_proof::{Changes, Item};
use std::collections::BTreeMap;

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
pub struct Ranked<'t> {
    problem: Problem<'t>,
    /// By rank, then by the order in which they were met.
    open: BTreeMap<(Rank, u64), Part>,
    met: u64,
}

/// Scores of the criteria, then items. A bound that knows only the first of them ends there and comes first.
type Rank = (Vec<i128>, Vec<Item>);

#[derive(Clone, Debug)]
struct Part {
    changes: Changes,
    /// The number of slots whose items are kept from the choice that it was divided from.
    kept: usize,
    /// The best choice of the part, once it is known.
    best: Option<Solution>,
}

/// All choices that keep the rules of a problem, the best one first, each one once.
///
/// Nothing is solved before the first choice is asked for. Choices of equal values follow each other in the order
/// of their items.
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
    let whole = Part { changes: problem.changes().clone(), kept: 0, best: None };
    let mut ranked = Ranked { problem: problem.clone(), open: BTreeMap::new(), met: 0 };
    ranked.add((Vec::new(), Vec::new()), whole);
    Ok(ranked)
}

/// The best choice that uses another set of items than this one: at least one of its items is left out.
///
/// One solve for every slot, each with that slot's item left out (the first division of Murty 1968, by items instead of
/// pairs).
///
/// # Examples
/// ```
/// use pairwright_assign::{Criterion, Item, Measure, OtherItems, Outcome, Problem, Sense, Shape, Table, other_items, solve};
///
/// let table = Table::from_fn(Shape { slots: 2, items: 3 }, |_, item| Some(i64::from(item.number())))?;
/// let total = Criterion { table: &table, measure: Measure::Total, sense: Sense::Least, slack: 0 };
/// let problem = Problem::new(vec![total], vec![])?;
/// let Outcome::Proven(best) = solve(&problem) else { panic!("a total is exact") };
///
/// let OtherItems::Proven(other) = other_items(&problem, &best.choice) else { panic!("there are three items") };
/// assert_eq!(other.choice.items(), [0, 2].map(Item::new));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn other_items(problem: &Problem<'_>, choice: &pairwright_proof::Choice) -> OtherItems {
    let mut best: Option<(Rank, Solution)> = None;
    let mut is_proven = true;
    for &item in choice.items() {
        // An item that is not there leaves nothing out.
        let Ok(without) = problem.clone().leave_out(item) else { continue };
        let outcome = solve(&without);
        is_proven &= !matches!(outcome, Outcome::BestFound { .. });
        let Some(found) = outcome.solution() else { continue };
        let Some(rank) = rank(problem, found) else { continue };
        if best.as_ref().is_none_or(|(before, _)| rank < *before) {
            best = Some((rank, found.clone()));
        }
    }
    match best.map(|(_, solution)| solution) {
        Some(solution) if is_proven => OtherItems::Proven(solution),
        Some(solution) => OtherItems::BestFound(solution),
        None => OtherItems::None,
    }
}

/// The answer of [`other_items`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OtherItems {
    /// The best choice with another set of items.
    Proven(Solution),
    /// One with another set of items; some solve ended early, and a better one may exist.
    BestFound(Solution),
    /// No choice has another set of items.
    None,
}

impl OtherItems {
    /// The choice and its values, if there is one.
    pub fn solution(&self) -> Option<&Solution> {
        match self {
            Self::Proven(solution) | Self::BestFound(solution) => Some(solution),
            Self::None => None,
        }
    }
}

fn rank(problem: &Problem<'_>, solution: &Solution) -> Option<Rank> {
    let items = solution.choice.items();
    let scores = problem.criteria().iter().map(|criterion| score(criterion, items)).collect::<Option<_>>()?;
    Some((scores, items.to_vec()))
}

impl Iterator for Ranked<'_> {
    type Item = Solution;

    fn next(&mut self) -> Option<Solution> {
        while let Some(((rank, _), part)) = self.open.pop_first() {
            if let Some(best) = part.best.clone() {
                self.divide(&rank, &part, &best);
                return Some(best);
            }
            self.solve(part);
        }
        None
    }
}

impl Ranked<'_> {
    fn add(&mut self, rank: Rank, part: Part) {
        self.met += 1;
        self.open.insert((rank, self.met), part);
    }

    /// Finds the best choice of a part, and puts the part back if it has one.
    fn solve(&mut self, mut part: Part) {
        let problem = self.problem.clone().with_changes(part.changes.clone());
        if let Outcome::Proven(best) = solve(&problem)
            && let Some(rank) = rank(&problem, &best)
        {
            part.best = Some(best);
            self.add(rank, part);
        }
    }

    /// Puts in the parts that a part has besides its best choice.
    fn divide(&mut self, rank: &Rank, part: &Part, best: &Solution) {
        let bounds = self.bounds(part, best);
        let mut changes = part.changes.clone();
        for (slot, item) in best.choice.pairs().skip(part.kept) {
            let mut without = changes.clone();
            without.forbidden.push((slot, item));
            let bound = match bounds.as_ref().map(|bounds| bounds[slot.index()]) {
                Some(Some(bound)) if bound > rank.0[0] => (vec![bound], Vec::new()),
                _ => rank.clone(),
            };
            self.add(bound, Part { changes: without, kept: slot.index(), best: None });
            changes.forced.push((slot, item));
        }
    }

    /// What the first criterion comes to at least when a slot gives up its item, for every slot; `None` if it is no
    /// sum.
    fn bounds(&self, part: &Part, best: &Solution) -> Option<Vec<Option<i128>>> {
        let problem = self.problem.clone().with_changes(part.changes.clone());
        let Method::Sum(cost) = Method::of(problem.criteria().first()?) else {
            return None;
        };
        let prices = Sensitivity::of(cost, Region::whole(&problem))?;
        let before = cost.total(prices.choice());
        Some(best.choice.pairs().map(|(slot, item)| Some(before + prices.forbidding(slot, item)?)).collect())
    }
}
