//! Every part solved anew, for measures and rules whose prices are not inherited.
//!
//! Where the first criterion is a sum all the same, what giving up the slot's item costs at least by the prices bounds a part.
//! Each choice costs at most one solve a slot.

use super::rank::{Rank, Scores, scores};
use crate::best::Method;
use crate::chain::solve;
use crate::outcome::{Outcome, Solution};
use crate::problem::Problem;
use crate::region::Region;
use crate::sensitivity::Sensitivity;
use pairwright_proof::Changes;
use std::collections::BTreeMap;
use std::sync::Arc;

#[derive(Clone, Debug)]
pub(super) struct Anew<'t> {
    problem: Problem<'t>,
    /// By rank, then by the order in which they were met.
    open: BTreeMap<(Rank, u64), Part>,
    met: u64,
}

#[derive(Clone, Debug)]
struct Part {
    changes: Changes,
    /// The number of slots whose items are kept from the choice that it was divided from.
    kept: usize,
    /// The best choice of the part, once it is known.
    best: Option<Solution>,
}

impl<'t> Anew<'t> {
    pub(super) fn new(problem: &Problem<'t>) -> Self {
        let whole = Part { changes: problem.changes().clone(), kept: 0, best: None };
        let mut anew = Self { problem: problem.clone(), open: BTreeMap::new(), met: 0 };
        anew.add(Rank::of_scores(Scores::new()), whole);
        anew
    }

    pub(super) fn next(&mut self) -> Option<Solution> {
        while let Some(((rank, _), part)) = self.open.pop_first() {
            if let Some(best) = part.best.clone() {
                self.divide(&rank, &part, &best);
                return Some(best);
            }
            self.solve(part);
        }
        None
    }

    fn add(&mut self, rank: Rank, part: Part) {
        self.met += 1;
        self.open.insert((rank, self.met), part);
    }

    /// Finds the best choice of a part, and puts the part back if it has one.
    fn solve(&mut self, mut part: Part) {
        let problem = self.problem.clone().with_changes(part.changes.clone());
        if let Outcome::Proven(best) = solve(&problem)
            && let Some(scores) = scores(&problem, best.choice.items())
        {
            let rank = Rank::of_choice(scores, &Arc::from(best.choice.items()));
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
                Some(Some(bound)) if bound > rank.scores[0] => Rank::of_scores([bound].into_iter().collect()),
                _ => rank.clone(),
            };
            self.add(bound, Part { changes: without, kept: slot.index(), best: None });
            changes.forced.push((slot, item));
        }
    }

    /// What the first criterion comes to at least when a slot gives up its item, for every slot; `None` if it is no sum.
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
