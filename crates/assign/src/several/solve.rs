//! The best arrangement, and the first of them.

use super::beside::Limits;
use super::decide::{Effort, Free, Spent, decide};
use super::field::{Bundle, Chosen};
use super::outcome::{Arrangement, SeveralOutcome, SeveralShortage, Tie};
use super::problem::SeveralProblem;
use super::prove::Unproven;
use super::windows::{self, Width};
use super::{prove, sums, total};
use crate::best::Key;
use crate::budget::Budget;
use crate::outcome::Reason;
use crate::watch::Watch;
use pairwright_proof::{Measure, Sense, SeveralProof, Slot, Worth};
use std::ops::RangeInclusive;

/// Solves a problem whose slots take several items each, and proves the answer.
///
/// Exact when it ends by itself; [`SeveralProblem::with_effort`] says how many bundles the search may look at before it ends as
/// [`SeveralOutcome::BestFound`] or [`SeveralOutcome::Undecided`], and as many again for the proof. A [`Measure::Total`] of a
/// [`Worth::Sum`](pairwright_proof::Worth::Sum) needs no search. Where the search ended the proof is
/// tried all the same and takes up what it meets that is better; if it succeeds, the outcome is [`SeveralOutcome::Proven`] and
/// the tie open.
///
/// Listing costs C(m, k) bundles of k out of m items a slot; the search is exponential in the number of slots at worst
/// (depth first with bounds: Land & Doig 1960).
///
/// Deterministic: the same problem gives the same outcome everywhere.
pub fn solve_several(problem: &SeveralProblem<'_>) -> SeveralOutcome {
    solve_several_within(problem, &Budget::default())
}

/// Solves a problem whose slots take several items as [`solve_several`] does, but ends early when the budget ends; the
/// reason then is [`Reason::Stopped`].
///
/// A step down of the search is a node of the budget, and so is a branch of the proof; there the flag and the clock are asked.
pub fn solve_several_within(problem: &SeveralProblem<'_>, budget: &Budget<'_>) -> SeveralOutcome {
    let watch = Watch::over(budget);
    let found = search(problem, &watch);
    let unwanted = match (problem.value_alone, problem.spread) {
        (true, _) => Some(Unproven::NotWanted),
        (false, i64::MAX) => None,
        (false, _) => Some(Unproven::SpreadToo),
    };
    if let Some(why) = unwanted {
        return unproven(found, why, watch.stopped().map_or(Reason::EffortSpent, Reason::Stopped));
    }
    let reason = watch.stopped().map_or(Reason::EffortSpent, Reason::Stopped);
    let mut effort = Effort { left: problem.effort, watch: &watch };
    match found {
        Found::Best(arrangement) => match prove::none_better(problem, arrangement.value, &mut effort, &mut None) {
            Ok(proof) => SeveralOutcome::Proven { arrangement, tie: Tie::First, proof },
            Err(why) => SeveralOutcome::Searched { arrangement: Some(arrangement), why },
        },
        Found::None(shortage) => match prove::none(problem, &watch) {
            Ok(proof) => SeveralOutcome::Impossible { shortage, proof },
            Err(why) => SeveralOutcome::Searched { arrangement: None, why },
        },
        Found::Some { mut arrangement, bound } => {
            // Less than the search had: it does not often succeed.
            effort.left /= 8;
            match improve(problem, &mut arrangement, bound, &mut effort) {
                Some(proof) => SeveralOutcome::Proven { arrangement, tie: Tie::Open, proof },
                None => SeveralOutcome::BestFound { arrangement, bound, reason },
            }
        }
        Found::Nothing { bound } => match prove::none(problem, &watch) {
            Ok(proof) => SeveralOutcome::Impossible { shortage: SeveralShortage::Competing, proof },
            Err(_) => SeveralOutcome::Undecided { bound, reason },
        },
    }
}

/// What the search says, nothing of it proven.
fn unproven(found: Found, why: Unproven, reason: Reason) -> SeveralOutcome {
    match found {
        Found::Best(arrangement) => SeveralOutcome::Searched { arrangement: Some(arrangement), why },
        Found::None(_) => SeveralOutcome::Searched { arrangement: None, why },
        Found::Some { arrangement, bound } => SeveralOutcome::BestFound { arrangement, bound, reason },
        Found::Nothing { bound } => SeveralOutcome::Undecided { bound, reason },
    }
}

/// How often what is better is taken up.
const ATTEMPTS: usize = 512;

/// Where the search ended, the attempt to prove what it left meets what is better, until there is a proof.
fn improve(
    problem: &SeveralProblem<'_>,
    arrangement: &mut Arrangement,
    bound: i128,
    effort: &mut Effort<'_>,
) -> Option<SeveralProof> {
    let goal = Goal::of(problem);
    for _ in 0..ATTEMPTS {
        let mut met = None;
        let proof = prove::none_better(problem, arrangement.value, effort, &mut met);
        let Some(chosen) = met else {
            return proof.ok();
        };
        let value = goal.value(goal.score(&chosen));
        *arrangement = Arrangement { bundles: problem.field.named(&chosen), value };
        effort.watch.tell(0, Some(value), bound);
    }
    None
}

/// What the search by itself says.
enum Found {
    /// The first of the best.
    Best(Arrangement),
    /// There is none.
    None(SeveralShortage),
    /// It ended with this.
    Some { arrangement: Arrangement, bound: i128 },
    /// It ended before it met anything.
    Nothing { bound: i128 },
}

fn search(problem: &SeveralProblem<'_>, watch: &Watch<'_>) -> Found {
    if let Some(shortage) = shortage(problem) {
        return Found::None(shortage);
    }
    let goal = Goal::of(problem);
    let arrangement =
        |score: i128, chosen: &Chosen| Arrangement { bundles: problem.field.named(chosen), value: goal.value(score) };
    let lists = &problem.field.slots;
    let mut best = None;
    let mut bound = goal.bound(lists);
    if let (Measure::Total, Worth::Sum { table, .. }, false) = (problem.measure, problem.worth, problem.is_limited) {
        let found = if watch.spend() { total::best(problem, table, watch) } else { None };
        let found = found.map(|chosen| arrangement(goal.score(&chosen), &chosen));
        return match (found, watch.stopped()) {
            (Some(arrangement), None) => Found::Best(arrangement),
            (None, None) => Found::None(SeveralShortage::Competing),
            // Only the tie is open.
            (Some(arrangement), Some(_)) => Found::Some { bound: arrangement.value, arrangement },
            (None, Some(_)) => Found::Nothing { bound: goal.value(bound) },
        };
    }
    let mut effort = Effort { left: problem.effort, watch };
    let mut ended = goal.improve((lists, &problem.field.limits), &mut best, &mut bound, &mut effort);
    let Some((score, mut chosen)) = best else {
        return match ended {
            Ok(()) => Found::None(SeveralShortage::Competing),
            Err(Spent) => Found::Nothing { bound: goal.value(bound) },
        };
    };
    watch.tell(0, Some(goal.value(score)), goal.value(if ended.is_ok() { score } else { bound }));
    if ended.is_ok() || score <= bound {
        bound = score;
        if problem.value_alone {
            return Found::Best(arrangement(score, &chosen));
        }
        ended = first(problem, goal, score, &mut chosen, &mut effort);
    }
    let arrangement = arrangement(score, &chosen);
    match ended {
        Ok(()) => Found::Best(arrangement),
        Err(Spent) => Found::Some { arrangement, bound: goal.value(bound) },
    }
}

fn shortage(problem: &SeveralProblem<'_>) -> Option<SeveralShortage> {
    let items = problem.pile.items;
    let needed = problem.pile.slots.saturating_mul(problem.pile.each);
    if needed > items {
        return Some(SeveralShortage::TooFew { needed, items });
    }
    let slots = (0..).map(Slot::new).zip(&problem.field.slots);
    slots.filter(|(_, bundles)| bundles.is_empty()).map(|(slot, _)| SeveralShortage::NoBundle { slot }).next()
}

/// The first of the arrangements with this score, slot after slot.
fn first(
    problem: &SeveralProblem<'_>,
    goal: Goal,
    score: i128,
    chosen: &mut Chosen,
    effort: &mut Effort<'_>,
) -> Result<(), Spent> {
    let mut fixed: Vec<Bundle> = Vec::new();
    for slot in 0..chosen.len() {
        let mut earlier: Vec<Bundle> =
            problem.field.slots[slot].iter().filter(|bundle| bundle.at < chosen[slot].at).copied().collect();
        earlier.sort_unstable_by_key(|bundle| bundle.at);
        for bundle in earlier {
            let tried: Vec<Bundle> = fixed.iter().copied().chain([bundle]).collect();
            if let Some(better) = goal.any(problem, &tried, score, effort)? {
                *chosen = better;
                break;
            }
        }
        fixed.push(chosen[slot]);
    }
    Ok(())
}

/// What is to be small.
#[derive(Clone, Copy)]
enum Goal {
    Worst(Key),
    Width(Width),
    /// Σ of the value, with its sign.
    Total(i128),
    /// Σ (v − target)².
    Squares(i64),
}

impl Goal {
    fn of(problem: &SeveralProblem<'_>) -> Self {
        match problem.measure {
            Measure::Spread => Self::Width(Width::Spread),
            Measure::SquaresAboutMean => Self::Width(Width::Squares { within: problem.spread.min(problem.within) }),
            Measure::Greatest => Self::Worst(Key::Value),
            Measure::Least => Self::Worst(Key::Negative),
            Measure::WorstFrom { target } => Self::Worst(Key::Away(target)),
            Measure::SquaresFrom { target } => Self::Squares(target),
            Measure::Total => Self::Total(if problem.sense == Sense::Least { 1 } else { -1 }),
        }
    }

    /// The value of a score.
    fn value(self, score: i128) -> i128 {
        if matches!(self, Self::Worst(Key::Negative) | Self::Total(-1)) { -score } else { score }
    }

    fn cost(self, bundle: &Bundle) -> i128 {
        match self {
            Self::Worst(key) => key.of(bundle.value).into(),
            Self::Width(_) => 0,
            Self::Total(sign) => sign * i128::from(bundle.value),
            Self::Squares(target) => {
                let away = i128::from(bundle.value) - i128::from(target);
                away * away
            }
        }
    }

    fn score(self, chosen: &Chosen) -> i128 {
        let costs = chosen.iter().map(|bundle| self.cost(bundle));
        match self {
            Self::Width(width) => width.score(chosen),
            Self::Worst(_) => costs.max().unwrap_or(0),
            Self::Total(_) | Self::Squares(_) => costs.sum(),
        }
    }

    /// No arrangement scores less.
    fn bound(self, lists: &[Vec<Bundle>]) -> i128 {
        match self {
            Self::Width(width) => windows::bound(width, lists),
            Self::Worst(_) => {
                let least = |list: &Vec<Bundle>| list.iter().map(|bundle| self.cost(bundle)).min();
                lists.iter().filter_map(least).max().unwrap_or(0)
            }
            Self::Total(_) | Self::Squares(_) => sums::bound(lists, |bundle| self.cost(bundle)),
        }
    }

    /// Looks for the best; raises the bound where less is ruled out.
    fn improve(
        self,
        (lists, limits): (&[Vec<Bundle>], &Limits),
        best: &mut Option<(i128, Chosen)>,
        bound: &mut i128,
        effort: &mut Effort<'_>,
    ) -> Result<(), Spent> {
        match self {
            Self::Width(Width::Spread) => windows::sweep(Width::Spread, lists, best, None, limits, effort),
            Self::Width(width @ Width::Squares { within }) => {
                // The least spread is a good start.
                let ended = windows::sweep(Width::Spread, lists, best, None, limits, effort);
                best.take_if(|(spread, _)| *spread > within.into());
                if let Some((score, chosen)) = best {
                    *score = width.score(chosen);
                }
                ended?;
                windows::sweep(width, lists, best, None, limits, effort)
            }
            Self::Worst(_) => self.bisect((lists, limits), best, bound, effort),
            Self::Total(_) | Self::Squares(_) => {
                sums::cheapest(lists, |bundle| self.cost(bundle), best, None, limits, effort)
            }
        }
    }

    /// Halves the distance between the bound and the best until they meet.
    fn bisect(
        self,
        (lists, limits): (&[Vec<Bundle>], &Limits),
        best: &mut Option<(i128, Chosen)>,
        bound: &mut i128,
        effort: &mut Effort<'_>,
    ) -> Result<(), Spent> {
        let mut costs: Vec<i128> = lists.iter().flatten().map(|bundle| self.cost(bundle)).collect();
        costs.sort_unstable();
        costs.dedup();
        // Every cost before `from` is known to be too little, every one from `to` on is not needed.
        let (mut from, mut to) = (costs.partition_point(|&cost| cost < *bound), costs.len());
        let mut limit = costs.last().copied().unwrap_or(0);
        loop {
            let within = |list: &Vec<Bundle>| -> Vec<Bundle> {
                list.iter().filter(|bundle| self.cost(bundle) <= limit).copied().collect()
            };
            let kept: Vec<Vec<Bundle>> = lists.iter().map(within).collect();
            let slices: Vec<&[Bundle]> = kept.iter().map(Vec::as_slice).collect();
            match decide(&slices, Free, limits, effort)? {
                Some(chosen) => {
                    let score = self.score(&chosen);
                    to = costs.partition_point(|&cost| cost < score);
                    *best = Some((score, chosen));
                }
                None if best.is_none() => return Ok(()),
                None => {
                    from = costs.partition_point(|&cost| cost <= limit);
                    *bound = costs.get(from).copied().unwrap_or(*bound);
                }
            }
            if from >= to {
                return Ok(());
            }
            limit = costs[from + (to - from) / 2];
        }
    }

    /// Where the values of the other slots lie when the arrangement begins with these bundles and scores at most this.
    fn beside(self, slots: usize, begun: &[Bundle], score: i128) -> RangeInclusive<i128> {
        let values = || begun.iter().map(|bundle| i128::from(bundle.value));
        match (self, values().max(), values().min()) {
            (Self::Width(width), Some(high), Some(low)) => {
                let width = i128::from(width.window(slots, score));
                high - width..=low + width
            }
            (Self::Squares(target), ..) => {
                let (target, left) = (i128::from(target), score - self.score(&begun.to_vec()));
                let away = left.max(0).isqrt();
                target - away..=target + away
            }
            _ => i128::MIN..=i128::MAX,
        }
    }

    /// An arrangement that begins with these bundles and scores at most this.
    fn any(
        self,
        problem: &SeveralProblem<'_>,
        begun: &[Bundle],
        score: i128,
        effort: &mut Effort<'_>,
    ) -> Result<Option<Chosen>, Spent> {
        let used = begun.iter().fold(0, |used, bundle| used | bundle.items);
        let twice = begun.iter().map(|bundle| bundle.items.count_ones()).sum::<u32>() != used.count_ones();
        if twice {
            return Ok(None);
        }
        let within = self.beside(problem.pile.slots, begun, score);
        let lists = problem.field.retain(|slot, bundle| match begun.get(slot) {
            Some(fixed) => bundle.at == fixed.at,
            None => bundle.items & used == 0 && within.contains(&bundle.value.into()),
        });
        effort.spend(lists.iter().map(Vec::len).sum())?;
        let mut met = None;
        let limits = &problem.field.limits;
        match self {
            Self::Width(width) => windows::sweep(width, &lists, &mut met, Some(score), limits, effort)?,
            Self::Worst(_) => {
                let within = |list: &Vec<Bundle>| -> Vec<Bundle> {
                    list.iter().filter(|bundle| self.cost(bundle) <= score).copied().collect()
                };
                let kept: Vec<Vec<Bundle>> = lists.iter().map(within).collect();
                let slices: Vec<&[Bundle]> = kept.iter().map(Vec::as_slice).collect();
                return decide(&slices, Free, limits, effort);
            }
            _ => sums::cheapest(&lists, |bundle| self.cost(bundle), &mut met, Some(score), limits, effort)?,
        }
        Ok(met.map(|(_, chosen)| chosen))
    }
}
