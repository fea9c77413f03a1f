//! The chain of criteria under side conditions, one level after the other.

use super::conflict;
use super::outcome::{SidedOutcome, Standstill};
use super::problem::SidedProblem;
use super::rules::{Limit, Part, Rules};
use super::search::{Decision, Effort, Found, decide, minimise};
use crate::best::{Method, over_pairs, score};
use crate::grid::Grid;
use crate::outcome::{Bound, Reason, Solution};
use crate::region::Region;
use crate::{shortage, spread, worst};
use pairwright_proof::{Choice, Criterion, Item, Measure, Sense, Slot, evaluate};
use std::cell::Cell;

/// Solves a problem with side conditions: the best choice by the chain, the last tie going to the lexicographically
/// smallest vector of items, exactly as [`solve`](crate::solve) does without them.
///
/// Branch and bound: exact when it ends by itself, [`SidedOutcome::BestFound`] or [`SidedOutcome::Undecided`] when the
/// effort of [`Problem::with_effort`](crate::Problem::with_effort) is used up. A level whose criterion is
/// a threshold (least spread, least greatest value, …) asks the search at most once a value whether its pairs hold a
/// choice; each question is exponential in the number of slots at worst, and answered by the sieves alone in most
/// cases. Other levels are searched lowest bound first.
///
/// Deterministic: the same problem gives the same outcome everywhere.
pub fn solve_sided(sided: &SidedProblem<'_>) -> SidedOutcome {
    let whole = Part::whole(sided);
    if let Some(shortage) = shortage::of_pairs(&whole) {
        return SidedOutcome::Impossible(Standstill::Pairs(shortage));
    }
    let Region { grid, must, .. } = whole;
    let part = Part { grid, must };
    let effort = Effort::new(sided.problem().effort());
    let rules = Rules::of(sided, |_| true);
    let mut levels = Levels { rules, part: part.clone(), effort: &effort, met: None, open: None };
    let ended = levels.run(sided.problem().criteria());
    let reason = Reason::EffortSpent;
    match (ended, levels.met, levels.open) {
        (Ended::NoChoice, ..) => SidedOutcome::Impossible(Standstill::Sides(conflict::between(sided, &part))),
        (Ended::Through, Some(choice), open) => {
            let solution = valued(sided.problem().criteria(), choice);
            match open {
                None => SidedOutcome::Proven(solution),
                Some(bound) => SidedOutcome::BestFound { solution, bound, reason },
            }
        }
        (Ended::Through, None, open) => {
            let bound = open.unwrap_or(Bound { criterion: 0, value: 0 });
            SidedOutcome::Undecided { bound, reason }
        }
    }
}

fn valued(criteria: &[Criterion<'_>], choice: Vec<Item>) -> Solution {
    let choice = Choice::new(choice);
    let value = |criterion: &Criterion<'_>| {
        evaluate(criterion.measure, criterion.table, &choice)
            .expect("the choice is made of allowed pairs, and tables and targets are bounded")
    };
    let values = criteria.iter().map(value).collect();
    Solution { choice, values }
}

/// How the levels came to their end.
enum Ended {
    /// It is proven that there is no choice.
    NoChoice,
    /// Every level was worked off, or the effort was spent before a choice was met.
    Through,
}

struct Levels<'a, 't> {
    /// The side conditions, and what the levels so far ask.
    rules: Rules<'t>,
    part: Part,
    effort: &'a Effort,
    /// The best choice met so far; keeps all rules.
    met: Option<Vec<Item>>,
    /// The first criterion that is not proven.
    open: Option<Bound>,
}

impl<'t> Levels<'_, 't> {
    fn run(&mut self, criteria: &[Criterion<'t>]) -> Ended {
        for (level, criterion) in criteria.iter().enumerate() {
            let Some(found) = self.best(criterion) else {
                return Ended::NoChoice;
            };
            if let Some(bound) = found.open {
                let value = if criterion.sense == Sense::Least { bound } else { -bound };
                self.open.get_or_insert(Bound { criterion: level, value });
            }
            let Some((score, choice)) = found.best else {
                return Ended::Through;
            };
            self.met = Some(choice);
            let most = score.saturating_add(criterion.slack.into());
            self.rules.admit(Limit { criterion: *criterion, most }, &mut self.part);
        }
        self.first(criteria.len())
    }

    /// The best of a criterion over what is left; `None` if nothing is.
    fn best(&mut self, criterion: &Criterion<'t>) -> Option<Found> {
        self.rules.settle(&mut self.part, None).ok()?;
        let plain = over_pairs(criterion, &self.part.grid, &self.part.must)?;
        let known = |choice: Vec<Item>| score(criterion, &choice).map(|score| (score, choice));
        let met = self.met.clone().and_then(known);
        if let Some((score, choice)) = met.clone().filter(|&(score, _)| score <= plain.bound) {
            return Some(Found { best: Some((score, choice)), open: None });
        }
        let found = match Method::of(criterion) {
            Method::Worst(_) | Method::Spread => {
                let (choice, certain) = self.threshold(criterion, self.effort);
                let best = choice.and_then(known).or(met);
                let proven = certain || best.as_ref().is_some_and(|&(score, _)| score <= plain.bound);
                Found { best, open: (!proven).then_some(plain.bound) }
            }
            method => {
                let start = match method {
                    Method::AboutMean if met.is_none() => {
                        let even = Criterion { measure: Measure::Spread, ..*criterion };
                        self.threshold(&even, &self.effort.quarter()).0.and_then(known)
                    }
                    _ => met,
                };
                minimise(&self.rules, criterion, self.part.clone(), start, self.effort)
            }
        };
        if found.best.is_none() && found.open.is_none() { None } else { Some(found) }
    }

    /// The best choice of a threshold criterion, and whether it is certain to be that.
    fn threshold(&self, criterion: &Criterion<'t>, effort: &Effort) -> (Option<Vec<Item>>, bool) {
        let certain = Cell::new(true);
        let Part { grid, must } = &self.part;
        let confirm = |grid: &Grid| {
            let part = Part { grid: grid.clone(), must: must.clone() };
            match decide(&self.rules, part, effort) {
                Decision::Yes(choice) => Some(choice),
                Decision::No => None,
                Decision::Unknown => {
                    certain.set(false);
                    None
                }
            }
        };
        let table = criterion.table;
        let choice = match Method::of(criterion) {
            Method::Worst(key) => {
                let key = |slot: Slot, item: Item| key.of(table.row(slot)[item.index()]);
                worst::least(grid, must, key, Some(&confirm)).map(|held| held.choice)
            }
            _ => spread::least(spread::Pairs::of(grid, table), must, Some(&confirm)).map(|narrowest| narrowest.choice),
        };
        (choice, certain.get())
    }

    /// The last tie: slot after slot, the smallest item with which the rest can still be served.
    fn first(&mut self, levels: usize) -> Ended {
        let start = match self.met.take() {
            Some(choice) => Decision::Yes(choice),
            None => decide(&self.rules, self.part.clone(), self.effort),
        };
        let mut certain = true;
        match start {
            Decision::Yes(choice) => self.met = Some(self.smallest(choice, &mut certain)),
            Decision::No => return Ended::NoChoice,
            Decision::Unknown => certain = false,
        }
        if !certain {
            self.open.get_or_insert(Bound { criterion: levels, value: 0 });
        }
        Ended::Through
    }

    fn smallest(&mut self, mut choice: Vec<Item>, certain: &mut bool) -> Vec<Item> {
        let mut part = self.part.clone();
        for slot in part.grid.slots() {
            let smaller: Vec<Item> = part.grid.items_of(slot).take_while(|&item| item < choice[slot.index()]).collect();
            for item in smaller {
                let mut forced = part.clone();
                forced.grid.force(slot, item);
                match decide(&self.rules, forced, self.effort) {
                    Decision::Yes(better) => {
                        choice = better;
                        break;
                    }
                    Decision::No => {}
                    Decision::Unknown => *certain = false,
                }
            }
            part.grid.force(slot, choice[slot.index()]);
        }
        choice
    }
}
