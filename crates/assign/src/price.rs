//! What forcing or forbidding a pair costs, for any chain: by solving again.

use crate::best::score;
use crate::chain::solve;
use crate::outcome::{Outcome, Solution};
use crate::problem::Problem;
use pairwright_proof::{Item, Slot};

/// What one change does to the best choice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Price {
    /// By how much each criterion gets worse, in chain order and in the unit of its measure; 0 first where it does
    /// not, and less than 0 where a later one gains by what an earlier one loses. Without slack the first that is not 0
    /// is above 0.
    Worse(Vec<i128>),
    /// No choice is left.
    Impossible,
    /// The search for the best choice after the change ended early.
    Unknown,
}

/// The prices of single changes to a whole chain; made by [`chain_prices`].
#[derive(Clone, Debug)]
pub struct ChainPrices<'t> {
    problem: Problem<'t>,
    best: Solution,
}

/// What forcing and forbidding each pair costs, by every criterion of a chain: for spread, worst and least values, windows,
/// slacks and all else that [`sensitivity`](crate::sensitivity()) does not cover.
///
/// One [`solve`](crate::solve()) here, and at most one for every price asked for: all prices of n slots and m items are
/// n·m + n solves. Where no criterion gives slack, forbidding a pair that the best choice does not have and forcing one
/// that it has cost nothing and take no solve.
///
/// `None` if the problem has no choice, or no best one is proven.
///
/// # Examples
/// ```
/// use pairwright_assign::{
///     Criterion, Item, Measure, Price, Problem, Sense, Shape, Slot, Table, chain_prices,
/// };
///
/// let table = Table::from_cells(Shape { slots: 2, items: 2 }, &[Some(3), Some(1), Some(2), Some(4)])?;
/// let least = |measure| Criterion { table: &table, measure, sense: Sense::Least, slack: 0 };
/// let prices = chain_prices(&Problem::new(vec![least(Measure::Spread), least(Measure::Total)], vec![])?)
///     .ok_or("there are two choices")?;
///
/// // 1 and 2 are one apart, and so are 3 and 4, which are 4 more together.
/// assert_eq!(prices.forcing(Slot::new(0), Item::new(0)), Price::Worse(vec![0, 4]));
/// assert_eq!(prices.forbidding(Slot::new(0), Item::new(0)), Price::Worse(vec![0, 0]));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn chain_prices<'t>(problem: &Problem<'t>) -> Option<ChainPrices<'t>> {
    match solve(problem) {
        Outcome::Proven(best) => Some(ChainPrices { problem: problem.clone(), best }),
        Outcome::BestFound { .. } | Outcome::Impossible(_) => None,
    }
}

impl ChainPrices<'_> {
    /// The best choice from which all is counted.
    pub fn best(&self) -> &Solution {
        &self.best
    }

    /// What it costs to have this pair; [`Price::Impossible`] for a slot or an item that is not there.
    pub fn forcing(&self, slot: Slot, item: Item) -> Price {
        if self.best.choice.item(slot) == Some(item) && self.is_without_slack() {
            return self.nothing();
        }
        self.problem.clone().force(slot, item).map_or(Price::Impossible, |forced| self.of(&forced))
    }

    /// What it costs to do without this pair; nothing for a slot or an item that is not there.
    pub fn forbidding(&self, slot: Slot, item: Item) -> Price {
        if self.best.choice.item(slot) != Some(item) && self.is_without_slack() {
            return self.nothing();
        }
        self.problem.clone().forbid(slot, item).map_or_else(|_| self.nothing(), |without| self.of(&without))
    }

    fn is_without_slack(&self) -> bool {
        self.problem.criteria().iter().all(|criterion| criterion.slack == 0)
    }

    fn nothing(&self) -> Price {
        Price::Worse(vec![0; self.best.values.len()])
    }

    fn of(&self, changed: &Problem<'_>) -> Price {
        match solve(changed) {
            Outcome::Impossible(_) => Price::Impossible,
            Outcome::BestFound { .. } => Price::Unknown,
            Outcome::Proven(found) => {
                let (before, after) = (self.best.choice.items(), found.choice.items());
                let worse = |criterion| Some(score(criterion, after)? - score(criterion, before)?);
                let worse: Option<Vec<i128>> = self.problem.criteria().iter().map(worse).collect();
                worse.map_or(Price::Unknown, Price::Worse)
            }
        }
    }
}
