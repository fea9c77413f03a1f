//! One criterion after the other over all bundles, each among those that keep what the ones before it came to.

use pairwright_assign::several::{Arrangement, SeveralOutcome, SeveralProblem, solve_several};
use pairwright_assign::{Cause, Reason};
use pairwright_proof::{Bundles, Item, Measure, Sense, Slot, Worth};

use super::super::cheapest::Cheapest;
use super::super::choose::{Answer, PlanError, Short};
use super::super::criteria::Criterion;
use super::super::layer::Layer;
use super::super::search::Asked;
use super::asked::Wanted;
use super::beside::Kept;
use super::bundles::Several;
use super::values::{loss, worth_of};

/// Bundles that the search for the plan, and as many again that its proof, may look at.
const EFFORT: u64 = 400_000_000;
/// The same for a search that only explains the plan, or that comes after the aim.
const LESS_EFFORT: u64 = 40_000_000;

/// What the search over all bundles comes to.
pub(super) struct Staged {
    pub(super) bundles: Bundles,
    /// So many criteria, from the first on, are settled over all bundles.
    pub(super) exact: usize,
    /// Of those equal by every criterion it is the first.
    pub(super) is_first: bool,
    /// Why the search for the aim, or for what comes before it, ended early.
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
    /// The best bundles by criterion after criterion, as far as searches come to their end.
    pub(super) fn staged(&self, wanted: Wanted<'_>) -> Result<Found, PlanError> {
        let for_plan = wanted.asked.is_nothing() && wanted.brought_to.is_none();
        let (criteria, aim) = (self.criteria(), self.aim_at());
        // An explanation compares aims, spreads and scatter.
        let told = match &self.question.matching.then {
            _ if for_plan => criteria.len(),
            Some(_) => aim + 1,
            None => criteria.iter().take_while(|criterion| criterion.layer != Layer::Moves).count().max(aim + 1),
        };
        let mut kept = self.held.clone();
        let mut staged = if aim == 0 && wanted.brought_to.is_none() { self.by_sets(&wanted)? } else { None };
        for (at, &criterion) in criteria.iter().enumerate().take(told) {
            let settled = staged.as_ref().map_or(0, |staged| staged.exact);
            let value = if at < settled {
                // Set by set the best total is known already.
                staged.as_ref().and_then(|staged| self.worth(criterion, &staged.bundles).ok())
            } else {
                let wish = match for_plan {
                    true if at == aim => Wish::Proof,
                    true if at + 1 == told => Wish::First,
                    _ => Wish::Value,
                };
                let outcome = self.solved(&wanted, criterion, &kept, wish)?;
                match self.taken(&mut staged, at, criterion, outcome, (wish, aim))? {
                    Taken::Value(value) => Some(value),
                    Taken::Ended => None,
                    Taken::Short(short) => return Ok(Found::Short(short)),
                    Taken::Undecided => return Ok(Found::Undecided),
                }
            };
            let Some(value) = value else { break };
            if let Some(staged) = staged.as_ref().filter(|_| for_plan && at == aim) {
                // A question has one best value.
                let _ = self.best_by_aim.set(staged.bundles.clone());
            }
            kept.push(Kept::settled(criterion, value, self.given(at, criterion, value)));
        }
        Ok(staged.map_or(Found::Undecided, Found::Staged))
    }

    /// Takes up what a search for a criterion came to.
    fn taken(
        &self,
        staged: &mut Option<Staged>,
        at: usize,
        criterion: Criterion,
        outcome: SeveralOutcome,
        (wish, aim): (Wish, usize),
    ) -> Result<Taken, PlanError> {
        let (arrangement, proof) = match outcome {
            SeveralOutcome::Proven { arrangement, proof, .. } => (arrangement, Some(proof)),
            SeveralOutcome::Searched { arrangement: Some(arrangement), .. } => (arrangement, None),
            SeveralOutcome::BestFound { arrangement, reason, .. } => {
                let is_better = match staged {
                    Some(known) => {
                        loss(criterion, arrangement.value) < loss(criterion, self.worth(criterion, &known.bundles)?)
                    }
                    None => true,
                };
                if is_better {
                    let (exact, is_first) = (staged.as_ref().map_or(0, |known| known.exact), false);
                    *staged = Some(Staged { bundles: arrangement.bundles, exact, is_first, stopped: None });
                }
                if let Some(staged) = staged.as_mut().filter(|_| at <= aim) {
                    staged.stopped = Some(reason);
                }
                return Ok(Taken::Ended);
            }
            SeveralOutcome::Searched { arrangement: None, .. } | SeveralOutcome::Impossible { .. } => {
                return Ok(if staged.is_some() { Taken::Ended } else { Taken::Short(self.short()) });
            }
            SeveralOutcome::Undecided { reason, .. } => {
                let Some(staged) = staged else { return Ok(Taken::Undecided) };
                if at <= aim {
                    staged.stopped = Some(reason);
                }
                return Ok(Taken::Ended);
            }
        };
        let value = arrangement.value;
        if let Some(proof) = proof.filter(|_| at == aim) {
            // The value of a solved question does not change.
            let _ = self.proof.set((value, proof));
        }
        let is_first = wish != Wish::Value;
        *staged = Some(Staged { bundles: arrangement.bundles, exact: at + 1, is_first, stopped: None });
        Ok(Taken::Value(value))
    }

    /// The value of a criterion.
    pub(super) fn worth(&self, criterion: Criterion, bundles: &Bundles) -> Result<i128, PlanError> {
        worth_of(self.layer_values(criterion.layer, bundles).as_deref(), self.pile.slots, criterion)
    }

    fn solved(
        &self,
        wanted: &Wanted<'_>,
        Criterion { layer, measure, sense }: Criterion,
        kept: &[Kept],
        wish: Wish,
    ) -> Result<SeveralOutcome, PlanError> {
        let value = |slot: Slot, items: &[Item]| {
            let aim = self.wanted_value(wanted, slot, items)?;
            if layer == Layer::Aim { Some(aim) } else { self.layer_value(layer, slot, items) }
        };
        let worth = Worth::Function(&value);
        let effort = if wish == Wish::Proof { EFFORT } else { LESS_EFFORT };
        self.with_limits(Some(layer), kept, |limits| {
            let problem = SeveralProblem::new(self.pile, &worth, measure, sense)?.with_effort(effort);
            let problem = problem.with_limits(limits)?;
            Ok(solve_several(&if wish == Wish::Value { problem.for_value_alone() } else { problem }))
        })
    }

    /// The best value, and any bundles that have it, under the limits of the match and these.
    pub(super) fn solved_for_value(
        &self,
        wanted: &Wanted<'_>,
        criterion: Criterion,
        kept: &[Kept],
    ) -> Result<SeveralOutcome, PlanError> {
        let all: Vec<Kept> = self.held.iter().chain(kept).copied().collect();
        self.solved(wanted, criterion, &all, Wish::Value)
    }

    /// The best bundles with a part brought in, one attempt for every position that it may go to.
    pub(super) fn brought_in(&self, asked: Asked<'_>) -> Result<Vec<Found>, PlanError> {
        if self.aim_at() == 0
            && let Some(staged) = self.by_sets(&Wanted::of(asked))?
        {
            return Ok(vec![Found::Staged(staged)]);
        }
        let to = |position| self.staged(Wanted { brought_to: Some(position), ..Wanted::of(asked) });
        (0..self.pile.slots).map(to).collect()
    }

    /// The cheapest bundles that answer a question, whatever may be spent: once, or with a part brought in once for every
    /// position that it may go to.
    pub(in crate::plan) fn cheapest_ways(&self, asked: Asked<'_>) -> Result<Vec<Cheapest>, PlanError> {
        let price = Criterion { layer: Layer::Price, measure: Measure::Total, sense: Sense::Least };
        let kept = self.held_whatever_it_costs();
        let one = |wanted: Wanted<'_>| -> Result<Cheapest, PlanError> {
            Ok(match self.solved(&wanted, price, &kept, Wish::Value)? {
                SeveralOutcome::Impossible { .. } | SeveralOutcome::Searched { arrangement: None, .. } => {
                    Cheapest::Nothing
                }
                outcome => searched(&outcome).map_or(Cheapest::Unknown, |found| Cheapest::of(found.value)),
            })
        };
        if asked.bring_in.is_none() {
            return Ok(vec![one(Wanted::of(asked))?]);
        }
        let to = |position| one(Wanted { brought_to: Some(position), ..Wanted::of(asked) });
        (0..self.pile.slots).map(to).collect()
    }

    /// Whether bundles can be found whose values all lie in a range, the limits held.
    pub(crate) fn between(&self, low: i64, high: i64) -> Result<Answer, PlanError> {
        let wanted = Wanted { low, high, ..Wanted::of(Asked::default()) };
        let greatest = Criterion { layer: Layer::Aim, measure: Measure::Greatest, sense: Sense::Least };
        let outcome = self.solved(&wanted, greatest, &self.held, Wish::Value)?;
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

/// What taking up an outcome leaves.
enum Taken {
    /// The criterion is settled at this value.
    Value(i128),
    /// The search did not come to its end.
    Ended,
    Short(Short),
    Undecided,
}

/// What a search found that came to its end.
pub(super) fn searched(outcome: &SeveralOutcome) -> Option<&Arrangement> {
    match outcome {
        SeveralOutcome::Proven { arrangement, .. }
        | SeveralOutcome::Searched { arrangement: Some(arrangement), .. } => Some(arrangement),
        _ => None,
    }
}
