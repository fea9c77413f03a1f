//! Sieve, ask, and believe nothing that was not reckoned again.

use super::model::{ask, is_linear};
use crate::best::{Method, over_pairs, score};
use crate::outcome::{Bound, Solution};
use crate::shortage;
use crate::sides::{Limit, Part, Rules};
use crate::sides::{SidedOutcome, SidedProblem, Standstill, solve_sided};
use good_lp::ResolutionError;
use pairwright_proof::{Choice, Criterion, Item, Measure, Sense, check_sided, evaluate};
use std::time::Duration;

/// The answer of a 0/1 model.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ProgramOutcome {
    /// A choice that keeps every rule, evaluated in ticks.
    BestFound {
        /// The choice.
        solution: Solution,
        /// What our own bounds say: the first criterion is proven only where they meet it. Further criteria are whatever the
        /// choice happens to be worth.
        bound: Bound,
        /// What the backend said.
        said: Said,
    },
    /// No choice, although there may be one: the backend's word is no proof.
    Undecided {
        /// What the backend said.
        said: Said,
    },
    /// Our own sieves show that there is no choice.
    Impossible(Standstill),
}

/// What the backend said of its answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Said {
    /// That it is the best.
    Optimal,
    /// That it ended early.
    Stopped,
    /// That there is none.
    Infeasible,
    /// A choice that breaks a rule when it is reckoned in ticks.
    Wrong,
    /// Something else went wrong.
    Failed,
}

/// Why a problem has no 0/1 model.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ProgramError {
    /// There is no criterion to be modelled.
    #[error("there is no criterion")]
    NoCriterion,
    /// The first criterion is no linear one.
    #[error("the measure {measure:?} is not linear in the sense {sense:?}")]
    NotLinear {
        /// Its measure.
        measure: Measure,
        /// Its sense.
        sense: Sense,
    },
}

/// Asks a backend for the best choice by the first criterion, within `time` if given.
///
/// `first_try` partial plans of [`solve_sided`] give a choice to improve on; pairs that are in no better one are dropped. The
/// better of that choice and the backend's is the answer.
///
/// # Errors
/// [`ProgramError`] if the first criterion is not linear: squares about the mean, and values that are to lie far out.
pub fn solve_program(
    sided: &SidedProblem<'_>,
    first_try: u64,
    time: Option<Duration>,
) -> Result<ProgramOutcome, ProgramError> {
    let criterion = *sided.problem().criteria().first().ok_or(ProgramError::NoCriterion)?;
    if !is_linear(&criterion) {
        return Err(ProgramError::NotLinear { measure: criterion.measure, sense: criterion.sense });
    }
    let whole = Part::whole(sided);
    if let Some(shortage) = shortage::of_pairs(&whole) {
        return Ok(ProgramOutcome::Impossible(Standstill::Pairs(shortage)));
    }
    let tried = sided.clone().with_effort(first_try);
    let known = match solve_sided(&tried) {
        SidedOutcome::Impossible(standstill) => return Ok(ProgramOutcome::Impossible(standstill)),
        outcome => outcome.solution().map(|solution| solution.choice.items().to_vec()),
    };
    let mut part = Part { grid: whole.grid, must: whole.must };
    let mut best = known.and_then(|choice| Some((score(&criterion, &choice)?, choice)));
    let most = best.as_ref().map_or(i128::MAX, |&(score, _)| score);
    let mut rules = Rules::of(sided, |_| true);
    let bound = sieve(&mut rules, &criterion, most, &mut part);
    let said = match ask(sided, &criterion, &part.grid, time) {
        Ok(answer) => {
            let kept = rules.are_kept_by(&answer.choice);
            let found = score(&criterion, &answer.choice).filter(|_| kept);
            match found {
                Some(score) if best.as_ref().is_none_or(|&(known, _)| score < known) => {
                    best = Some((score, answer.choice));
                }
                _ => {}
            }
            match found {
                None => Said::Wrong,
                Some(_) if answer.is_stopped => Said::Stopped,
                Some(_) => Said::Optimal,
            }
        }
        Err(ResolutionError::Infeasible) => Said::Infeasible,
        Err(_) => Said::Failed,
    };
    let checked = best.and_then(|(score, choice)| Some((score, checked(sided, choice)?)));
    Ok(checked.map_or(ProgramOutcome::Undecided { said }, |(score, solution)| {
        let bound = if bound.is_some_and(|bound| score <= bound) {
            Bound { criterion: 1, value: 0 }
        } else {
            let least = bound.unwrap_or(score);
            Bound { criterion: 0, value: if criterion.sense == Sense::Least { least } else { -least } }
        };
        ProgramOutcome::BestFound { solution, bound, said }
    }))
}

/// Drops pairs that are in no choice scoring at most `most`, and bounds what is left; `None` if nothing is.
fn sieve<'t>(rules: &mut Rules<'t>, criterion: &Criterion<'t>, most: i128, part: &mut Part) -> Option<i128> {
    let aim = Limit { criterion: *criterion, most };
    if criterion.measure == Measure::Spread {
        // A choice with spread s has its greatest value at or above the least possible one, and so its least value at or above
        // that less s; and the mirror image.
        let end = |measure, sense| {
            let end = over_pairs(&Criterion { measure, sense, ..*criterion }, &part.grid, &part.must)?;
            Some(if sense == Sense::Least { end.score } else { -end.score })
        };
        let (high, low) = (end(Measure::Greatest, Sense::Least)?, end(Measure::Least, Sense::Most)?);
        let kept = high.saturating_sub(most)..=low.saturating_add(most);
        let row = |slot| criterion.table.row(slot);
        part.grid.retain(|slot, item| kept.contains(&row(slot)[item.index()].into()));
    }
    if matches!(Method::of(criterion), Method::Worst(_)) {
        rules.admit(aim, part);
    }
    rules.settle(part, Some(&aim)).ok().map(|settled| settled.bound)
}

/// The choice as a solution, if the independent checker accepts it.
fn checked(sided: &SidedProblem<'_>, choice: Vec<Item>) -> Option<Solution> {
    let choice = Choice::new(choice);
    let value = |criterion: &Criterion<'_>| evaluate(criterion.measure, criterion.table, &choice).ok();
    let values = sided.problem().criteria().iter().map(value).collect::<Option<Vec<_>>>()?;
    check_sided(&sided.problem().statement(), sided.sides(), &choice, &values).ok()?;
    Some(Solution { choice, values })
}
