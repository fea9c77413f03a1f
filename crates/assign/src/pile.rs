//! Many more items than slots: what can be left aside before anything else.

use crate::alike;
use crate::by_window;
use crate::chain::plain;
use crate::extract::Extract;
use crate::outcome::{NothingFound, Outcome, Solution};
use crate::problem::Problem;
use crate::watch::Watch;
use pairwright_proof::{Item, Shortage};

/// The answer by way of a smaller problem; `None` if there is no shorter way than the plain one.
pub(crate) fn solve(problem: &Problem<'_>, watch: &Watch<'_>) -> Option<Result<Outcome, NothingFound>> {
    let shape = problem.shape();
    if shape.items < MANY.max(4 * shape.slots) {
        return None;
    }
    sifted(problem, watch)
}

/// With fewer items than this the plain way is short enough.
const MANY: usize = 256;

fn sifted(problem: &Problem<'_>, watch: &Watch<'_>) -> Option<Result<Outcome, NothingFound>> {
    if alike::are_many(problem) {
        let items = alike::representatives(problem);
        if items.len() <= problem.shape().items / 2 {
            return Some(among(problem, items, watch));
        }
    }
    by_window::solve(problem, watch).map(Ok)
}

/// The answer by way of some items that are as good as all.
fn among(problem: &Problem<'_>, items: Vec<Item>, watch: &Watch<'_>) -> Result<Outcome, NothingFound> {
    let extract = Extract::new(problem, items, |_, _| true);
    let small = extract.problem();
    let outcome = by_window::solve(&small, watch).map_or_else(|| plain(&small, watch), Ok)?;
    Ok(back(&extract, outcome))
}

fn back(extract: &Extract<'_, '_>, outcome: Outcome) -> Outcome {
    let solution = |found: Solution| Solution { choice: extract.back(&found.choice), ..found };
    match outcome {
        Outcome::Proven(found) => Outcome::Proven(solution(found)),
        Outcome::BestFound { solution: found, bound, reason } => {
            Outcome::BestFound { solution: solution(found), bound, reason }
        }
        Outcome::Impossible(shortage) => {
            let items: Vec<Item> = shortage.items.iter().map(|&item| extract.item(item)).collect();
            Outcome::Impossible(Shortage { items, ..shortage })
        }
    }
}

#[cfg(test)]
mod tests;
