//! The chain of criteria under side conditions, one level after the other.

use super::conflict;
use super::outcome::{SidedOutcome, Standstill};
use super::problem::SidedProblem;
use super::rules::{Limit, Part, Rules};
use super::search::{Decision, Found, decide, minimise};
use crate::best::{Method, over_confirmed, score};
use crate::budget::Budget;
use crate::effort::Effort;
use crate::grid::Grid;
use crate::outcome::{Bound, Reason, Solution};
use crate::region::Region;
use crate::watch::Watch;
use crate::worst::Keyed;
use crate::{outermost, shortage, spread, start};
use pairwright_proof::{Choice, Criterion, Item, Measure, Sense, evaluate};
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
    solve_sided_within(sided, &Budget::default())
}

/// Solves a problem with side conditions as [`solve_sided`] does, but ends early when the budget ends; the reason then
/// is [`Reason::Stopped`].
///
/// A part that is divided is a node of the budget, and so is every level. The flag and the clock are asked at every part
/// and between the steps of the method that bounds it. A whole table is always read and one matching made.
pub fn solve_sided_within(sided: &SidedProblem<'_>, budget: &Budget<'_>) -> SidedOutcome {
    let watch = Watch::over(budget);
    let whole = Part::whole(sided);
    if let Some(shortage) = shortage::of_pairs(&whole) {
        return SidedOutcome::Impossible(Standstill::Pairs(shortage));
    }
    let Region { grid, must, .. } = whole;
    let part = Part { grid, must };
    let effort = Effort::new(sided.problem().effort(), &watch);
    let rules = Rules::of(sided, |_| true);
    let met = start::given(&part.grid, &part.must).map(|only| only.pairs().map(|(_, item)| item).collect());
    let met = met.filter(|choice: &Vec<Item>| rules.are_kept_by(choice));
    let mut levels = Levels { rules, part: part.clone(), effort: &effort, met, open: None };
    let ended = levels.run(sided.problem().criteria());
    let reason = watch.stopped().map_or(Reason::EffortSpent, Reason::Stopped);
    match (ended, levels.met, levels.open) {
        (Ended::NoChoice, ..) => SidedOutcome::Impossible(Standstill::Sides(conflict::between(sided, &part, &watch))),
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
    effort: &'a Effort<'a>,
    /// The best choice met so far; keeps all rules.
    met: Option<Vec<Item>>,
    /// The first criterion that is not proven.
    open: Option<Bound>,
}

impl<'t> Levels<'_, 't> {
    fn run(&mut self, criteria: &[Criterion<'t>]) -> Ended {
        for (level, criterion) in criteria.iter().enumerate() {
            let turned = |score: i128| if criterion.sense == Sense::Least { score } else { -score };
            let watch = self.effort.watch();
            let outside = if watch.is_limited() { outermost::bound(criterion, &self.part.grid) } else { 0 };
            let found = if watch.spend() { self.best(criterion) } else { None };
            let Some(found) = found else {
                if watch.stopped().is_none() {
                    return Ended::NoChoice;
                }
                self.open.get_or_insert(Bound { criterion: level, value: turned(outside) });
                return Ended::Through;
            };
            if let Some(bound) = found.open {
                self.open.get_or_insert(Bound { criterion: level, value: turned(bound) });
            }
            let Some((score, choice)) = found.best else {
                return Ended::Through;
            };
            watch.tell(level, Some(turned(score)), turned(found.open.unwrap_or(score)));
            self.met = Some(choice);
            let most = score.saturating_add(criterion.slack.into());
            self.rules.admit(Limit { criterion: *criterion, most }, &mut self.part);
        }
        self.first(criteria.len())
    }

    /// The best of a criterion over what is left; `None` if nothing is.
    fn best(&mut self, criterion: &Criterion<'t>) -> Option<Found> {
        self.rules.settle(&mut self.part, None).ok()?;
        let watch = self.effort.watch();
        let plain = over_confirmed(criterion, &self.part.grid, &self.part.must, None, watch)?;
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
    fn threshold(&self, criterion: &Criterion<'t>, effort: &Effort<'_>) -> (Option<Vec<Item>>, bool) {
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
        let (table, watch) = (criterion.table, effort.watch());
        let choice = if let Method::Worst(key) = Method::of(criterion) {
            let key = |_, value| key.of(value);
            Keyed { grid, must, table, key, confirm: Some(&confirm) }.least(watch).map(|held| held.choice)
        } else {
            let pairs = spread::Pairs::of(grid, table);
            spread::least(pairs, must, Some(&confirm), watch).map(|narrowest| narrowest.choice)
        };
        (choice, certain.get() && watch.stopped().is_none())
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
                if !self.effort.watch().goes_on() {
                    *certain = false;
                    break;
                }
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
