//! The best choice that leaves something out which another one uses.

use super::rank::{Scores, scores};
use crate::chain::solve;
use crate::outcome::{Outcome, Solution};
use crate::problem::Problem;
use pairwright_proof::{Choice, Item};

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
pub fn other_items(problem: &Problem<'_>, choice: &Choice) -> OtherItems {
    let mut best: Option<((Scores, Vec<Item>), Solution)> = None;
    let mut is_proven = true;
    for &item in choice.items() {
        // An item that is not there leaves nothing out.
        let Ok(without) = problem.clone().leave_out(item) else { continue };
        let outcome = solve(&without);
        is_proven &= !matches!(outcome, Outcome::BestFound { .. });
        let Some(found) = outcome.solution() else { continue };
        let items = found.choice.items();
        let Some(scores) = scores(problem, items) else { continue };
        let rank = (scores, items.to_vec());
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
