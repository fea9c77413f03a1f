//! One criterion after the other over all bundles, as far as each leaves a range of values to the next.

use pairwright_assign::several::{Arrangement, SeveralOutcome, SeveralProblem, solve_several};
use pairwright_assign::{Cause, Reason};
use pairwright_proof::{Bundles, Measure, Sense, Worth};

use super::super::choose::{Answer, PlanError, Short};
use super::super::criteria::of_aim;
use super::super::search::Asked;
use super::asked::Wanted;
use super::bundles::Several;
use crate::job::{Goal, Measured};
use crate::quantity::Amount;

/// Bundles that the search for the plan, and as many again that its proof, may look at.
const EFFORT: u64 = 400_000_000;
/// The same for a search that only explains the plan, or that comes after the aim.
const LESS_EFFORT: u64 = 40_000_000;

/// What the search over all bundles comes to.
pub(super) struct Staged {
    pub(super) bundles: Bundles,
    /// The best value of the aim.
    pub(super) aim: i128,
    /// Every criterion up to squares about the mean is settled over all bundles, and the first of equals taken.
    pub(super) is_settled: bool,
    pub(super) stopped: Option<Reason>,
}

pub(super) enum Found {
    Staged(Staged),
    Short(Short),
    Undecided,
}

/// How much is asked of one search.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wish {
    /// The value, and any bundles that have it.
    Value,
    /// The value and the first bundles that have it.
    First,
    /// That, and a proof.
    Proof,
}

impl Several<'_> {
    /// The best bundles by the aim, and among those by least spread and least squares where that can be searched.
    pub(super) fn staged(&self, wanted: Wanted<'_>) -> Result<Found, PlanError> {
        let by_sets = if wanted.brought_to.is_none() { self.by_sets(&wanted)? } else { None };
        if let Some(staged) = by_sets {
            return Ok(Found::Staged(staged));
        }
        let (measure, sense) = of_aim(&self.question.matching.aim);
        let for_plan = wanted.asked.is_nothing() && wanted.brought_to.is_none();
        let outcome = self.solved(&wanted, (measure, sense), if for_plan { Wish::Proof } else { Wish::Value })?;
        let (best, stopped) = match outcome {
            SeveralOutcome::Proven { arrangement, proof, .. } => {
                if for_plan {
                    // The value of a solved question does not change.
                    let _ = self.proof.set((arrangement.value, proof));
                }
                (arrangement, None)
            }
            SeveralOutcome::Searched { arrangement: Some(arrangement), .. } => (arrangement, None),
            SeveralOutcome::BestFound { arrangement, reason, .. } => (arrangement, Some(reason)),
            SeveralOutcome::Searched { arrangement: None, .. } | SeveralOutcome::Impossible { .. } => {
                return Ok(Found::Short(self.short()));
            }
            SeveralOutcome::Undecided { .. } => return Ok(Found::Undecided),
        };
        let staged = Staged { aim: best.value, bundles: best.bundles, is_settled: false, stopped };
        if staged.stopped.is_some() || self.question.matching.then.is_some() {
            return Ok(Found::Staged(staged));
        }
        self.after_aim(wanted, staged).map(Found::Staged)
    }

    /// Least spread, then least squares, among the bundles whose aim is good enough.
    fn after_aim(&self, wanted: Wanted<'_>, mut staged: Staged) -> Result<Staged, PlanError> {
        let Some(mut wanted) = self.good_enough(wanted, staged.aim)? else { return Ok(staged) };
        if wanted.spread == i64::MAX {
            let outcome = self.solved(&wanted, (Measure::Spread, Sense::Least), Wish::Value)?;
            let Some(spread) = searched(&outcome) else { return Ok(staged) };
            staged.bundles = spread.bundles.clone();
            wanted.spread = i64::try_from(spread.value).unwrap_or(i64::MAX);
        }
        let wish = if wanted.asked.is_nothing() { Wish::First } else { Wish::Value };
        let outcome = self.solved(&wanted, (Measure::SquaresAboutMean, Sense::Least), wish)?;
        if let Some(squares) = searched(&outcome) {
            staged.bundles = squares.bundles.clone();
            staged.is_settled = true;
        }
        Ok(staged)
    }

    /// The range of values in which the aim is as good as `best`, or as good as its slack allows; `None` where there is no
    /// such range.
    fn good_enough<'a>(&self, wanted: Wanted<'a>, best: i128) -> Result<Option<Wanted<'a>>, PlanError> {
        let aim = &self.question.matching.aim;
        let give = aim.slack.map_or(0, Amount::ticks);
        let best_ticks = i64::try_from(best).unwrap_or(i64::MAX);
        let (worse, better) = (best_ticks.saturating_add(give), best_ticks.saturating_sub(give));
        Ok(Some(match (aim.goal, aim.by) {
            (_, Measured::Squares) => return Ok(None),
            (Goal::Even, _) => Wanted { spread: worse, ..wanted },
            (Goal::Near(target), _) => {
                let target = target.ticks();
                Wanted { low: target.saturating_sub(worse), high: target.saturating_add(worse), ..wanted }
            }
            (Goal::Highest, Measured::Extreme) => Wanted { low: better, ..wanted },
            (Goal::Lowest, Measured::Extreme) => Wanted { high: worse, ..wanted },
            (Goal::Highest | Goal::Lowest, _) => {
                let (measure, sense) = of_aim(aim);
                let turned = if sense == Sense::Least { Sense::Most } else { Sense::Least };
                let outcome = self.solved(&wanted, (measure, turned), Wish::Value)?;
                // Whatever is chosen has the same total where the worst has.
                return Ok(searched(&outcome).filter(|worst| worst.value == best).map(|_| wanted));
            }
        }))
    }

    fn solved(
        &self,
        wanted: &Wanted<'_>,
        (measure, sense): (Measure, Sense),
        wish: Wish,
    ) -> Result<SeveralOutcome, PlanError> {
        let value = |slot, items: &[_]| self.wanted_value(wanted, slot, items);
        let worth = Worth::Function(&value);
        let effort = if wish == Wish::Proof { EFFORT } else { LESS_EFFORT };
        let problem = SeveralProblem::new(self.pile, &worth, measure, sense)?.with_effort(effort);
        let problem = problem.with_spread_at_most(wanted.spread);
        Ok(solve_several(&if wish == Wish::Value { problem.for_value_alone() } else { problem }))
    }

    /// The best value, and any bundles that have it.
    pub(super) fn solved_for_value(
        &self,
        wanted: &Wanted<'_>,
        criterion: (Measure, Sense),
    ) -> Result<SeveralOutcome, PlanError> {
        self.solved(wanted, criterion, Wish::Value)
    }

    /// The best bundles with a part brought in, position by position.
    pub(super) fn brought_in(&self, asked: Asked<'_>) -> Result<Vec<Found>, PlanError> {
        if let Some(staged) = self.by_sets(&Wanted::of(asked))? {
            return Ok(vec![Found::Staged(staged)]);
        }
        let to = |position| self.staged(Wanted { brought_to: Some(position), ..Wanted::of(asked) });
        (0..self.pile.slots).map(to).collect()
    }

    /// Whether bundles can be found whose values all lie in a range, the limits held.
    pub(crate) fn between(&self, low: i64, high: i64) -> Result<Answer, PlanError> {
        let wanted = Wanted { low, high, ..Wanted::of(Asked::default()) };
        let outcome = self.solved(&wanted, (Measure::Greatest, Sense::Least), Wish::Value)?;
        Ok(match outcome {
            SeveralOutcome::Undecided { .. } => Answer::Undecided,
            other => match other.arrangement() {
                Some(found) => Answer::Chosen(self.bare(&found.bundles)),
                None => Answer::Short(self.short()),
            },
        })
    }

    /// Positions and parts of a question without an answer: all of them, unless one says more.
    pub(super) fn short(&self) -> Short {
        Short { positions: (0..self.pile.slots).collect(), parts: self.parts.clone(), cause: Cause::Pairs }
    }
}

/// What a search found that came to its end.
pub(super) fn searched(outcome: &SeveralOutcome) -> Option<&Arrangement> {
    match outcome {
        SeveralOutcome::Proven { arrangement, .. }
        | SeveralOutcome::Searched { arrangement: Some(arrangement), .. } => Some(arrangement),
        _ => None,
    }
}
