//! Branch and bound, for chains that no exact method covers: a sum under another criterion's budget, several budgets
//! at once, or values that are to lie far out.
//!
//! Every open part of the region is bounded by its best when the budgets are set aside, and dropped when some
//! budget cannot be kept in it at all. The part with the lowest bound is divided first: one of its pairs forced, or
//! forbidden. Exponential in the number of slots at worst; a part costs one exact solve for the objective and each budget.
//!
//! # References
//! - A. H. Land and A. G. Doig, *An automatic method of solving discrete programming problems*, Econometrica 28 (1960).

use crate::best::{over_pairs, score};
use crate::effort::Effort;
use crate::grid::Grid;
use crate::region::Region;
use pairwright_proof::{Criterion, Item, Slot};
use std::collections::BTreeMap;

/// What a search came to.
pub(crate) struct Found {
    /// The best choice met and its score; `None` if the effort was spent before any was met.
    pub(crate) best: Option<(i128, Vec<Item>)>,
    /// No choice scores less.
    pub(crate) bound: i128,
}

/// Whether there is a choice.
pub(crate) enum Holds {
    Yes(Vec<Item>),
    No,
    /// The effort was spent before either was known.
    Unknown,
}

/// The best of a criterion over a region with budgets; `None` if the region is empty.
pub(crate) fn best(criterion: &Criterion<'_>, region: &Region<'_>, effort: &Effort<'_>) -> Option<Found> {
    let search = Search { region, objective: Some(criterion), best: None, open: BTreeMap::new(), met: 0 };
    match search.run(&region.grid, effort) {
        (None, None) => None,
        (Some((score, choice)), None) => Some(Found { best: Some((score, choice)), bound: score }),
        (best, Some(bound)) => Some(Found { best, bound }),
    }
}

/// Whether some choice inside `grid` keeps all budgets of a region.
pub(crate) fn holds(region: &Region<'_>, grid: &Grid, effort: &Effort<'_>) -> Holds {
    let search = Search { region, objective: None, best: None, open: BTreeMap::new(), met: 0 };
    match search.run(grid, effort) {
        (Some((_, choice)), _) => Holds::Yes(choice),
        (None, None) => Holds::No,
        (None, Some(_)) => Holds::Unknown,
    }
}

struct Search<'a> {
    region: &'a Region<'a>,
    objective: Option<&'a Criterion<'a>>,
    best: Option<(i128, Vec<Item>)>,
    /// Parts not yet divided, by bound, then by the order in which they were met.
    open: BTreeMap<(i128, u64), Part>,
    met: u64,
}

struct Part {
    grid: Grid,
    branch: (Slot, Item),
}

impl Search<'_> {
    /// The best choice, and the lowest bound left open where the effort was spent.
    fn run(mut self, grid: &Grid, effort: &Effort<'_>) -> (Option<(i128, Vec<Item>)>, Option<i128>) {
        self.look(grid.clone());
        while let Some(((bound, _), part)) = self.open.pop_first() {
            if self.is_settled(bound) {
                break;
            }
            if !effort.spend() {
                return (self.best, Some(bound));
            }
            let (slot, item) = part.branch;
            let mut with = part.grid.clone();
            with.force(slot, item);
            let mut without = part.grid;
            without.clear(slot, item);
            self.look(with);
            self.look(without);
        }
        (self.best, None)
    }

    /// Whether nothing with this bound can be better than the best choice.
    fn is_settled(&self, bound: i128) -> bool {
        self.best.as_ref().is_some_and(|&(score, _)| bound >= score)
    }

    /// Bounds a part, learns from the choices met on the way, and keeps it open if it may hold better ones.
    fn look(&mut self, grid: Grid) {
        let must = &self.region.must;
        let mut nearest = Vec::new();
        let mut bound = 0;
        if let Some(objective) = self.objective {
            let Some(best) = over_pairs(objective, &grid, must) else {
                return;
            };
            bound = best.bound;
            nearest.push(best.choice);
        }
        for budget in &self.region.budgets {
            match over_pairs(&budget.criterion, &grid, must) {
                Some(best) if best.bound <= budget.limit => nearest.push(best.choice),
                _ => return,
            }
        }
        for choice in &nearest {
            self.learn(choice);
        }
        if self.is_settled(bound) {
            return;
        }
        if let Some(branch) = branch(&grid, &nearest) {
            self.met += 1;
            self.open.insert((bound, self.met), Part { grid, branch });
        }
    }

    fn learn(&mut self, choice: &[Item]) {
        let within = |criterion, limit| score(criterion, choice).is_some_and(|score| score <= limit);
        if !self.region.budgets.iter().all(|budget| within(&budget.criterion, budget.limit)) {
            return;
        }
        let score = self.objective.map_or(Some(0), |objective| score(objective, choice));
        if let Some(score) = score.filter(|&score| !self.is_settled(score)) {
            self.best = Some((score, choice.to_vec()));
        }
    }
}

/// A pair to divide by: where the choices that suit different criteria disagree, else any slot with a choice left.
fn branch(grid: &Grid, nearest: &[Vec<Item>]) -> Option<(Slot, Item)> {
    let first = nearest.first()?;
    let open = |slot: &Slot| grid.items_of(*slot).nth(1).is_some();
    let differs = |slot: &Slot| nearest.iter().any(|other| other[slot.index()] != first[slot.index()]);
    let slot = grid.slots().filter(open).find(differs).or_else(|| grid.slots().find(open))?;
    Some((slot, first[slot.index()]))
}
