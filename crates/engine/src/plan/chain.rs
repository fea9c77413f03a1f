//! What comes after the aim, settled over both roles at once.

use pairwright_assign::{
    Beside, Budget, Couple, Filled, Item, JointAim, JointOutcome, JointProblem, JointSolution, JointStatement, Outer,
    Scale, Slot, SumLimit, first_joint, solve_joint,
};
use pairwright_proof::{Choice, JointChoice, Measure};

use super::apart::Place;
use super::choose::{PlanError, squares_slack};
use super::joint::Joint;
use super::pieces::{Left, Piece, couples};
use super::purse::Purse;
use super::search::Asked;
use crate::job::Measured;

/// Partial plans that a criterion after the aim may look at.
const EFFORT: u64 = 400_000;
/// The least share of a question of an explanation, of which the first may look at as many.
const LITTLE: u64 = 4_000;
/// Partial plans that finding the first of equal plans may look at.
const ORDER_EFFORT: u64 = 200_000;

/// What the questions of an explanation may spend on criteria after the aim.
pub(super) fn purse() -> Purse {
    Purse::new(EFFORT, LITTLE)
}

/// Parts of both roles under a setting.
#[derive(Clone, Debug)]
pub(crate) struct Pick {
    pub(crate) setting: usize,
    pub(crate) firsts: Vec<usize>,
    pub(crate) seconds: Vec<usize>,
}

/// A choice that is settled by the criteria after the aim.
#[derive(Clone, Debug)]
pub(super) struct Settled {
    pub(super) pick: Pick,
    /// What it is worth by every criterion.
    pub(super) values: Vec<i128>,
    /// So many criteria, from the aim on, no other choice is better by.
    pub(super) exact: usize,
    /// Of all choices equal by every criterion it is the first.
    pub(super) is_first: bool,
}

impl Joint<'_> {
    /// Settles what comes after the aim, whose best value is `best` as the solver counts it; `is_best` says whether that
    /// is known for certain.
    pub(super) fn settled(
        &self,
        asked: Asked<'_>,
        pick: Pick,
        best: i128,
        is_best: bool,
    ) -> Result<Settled, PlanError> {
        let mut bound = best + self.slack(best);
        let may_reach = |at: usize| self.floors.as_ref().is_none_or(|floors| floors.may_reach(at, bound));
        let numbered = self.possible.iter().enumerate();
        let outers = numbered.filter(|&(at, outer)| self.wants(asked, outer) && may_reach(at));
        let outers = outers.map(|(_, outer)| outer.clone());
        let mut left = Left::new(self, &self.levels, self.tables(asked)?, outers);
        let mut settled = Settled { pick, values: Vec::new(), exact: usize::from(is_best), is_first: false };
        for at in 1..self.levels.len() {
            left.hold(at - 1, bound)?;
            let (is_best, value) = left.better(at, asked, &mut settled.pick)?;
            settled.exact += usize::from(is_best && settled.exact == at);
            bound = value;
        }
        if asked.is_nothing() {
            left.hold(self.levels.len() - 1, bound)?;
            settled.is_first = left.first(&mut settled.pick)?;
        }
        settled.values = (0..self.levels.len()).map(|at| self.plain_worth(at, &settled.pick)).collect();
        Ok(settled)
    }

    /// How much the aim may give for what comes next, in the solver's unit, from its best value.
    pub(super) fn slack(&self, best: i128) -> i128 {
        let aim = &self.question.matching.aim;
        let Some(slack) = aim.slack else { return 0 };
        if aim.by != Measured::Squares {
            return slack.ticks().into();
        }
        let measure = self.levels[0].aim.measure();
        squares_slack(self.question.positions.len(), measure, best, slack.ticks()).into()
    }

    /// What a choice is worth by a criterion, in the criterion's own numbers.
    fn plain_worth(&self, level: usize, pick: &Pick) -> i128 {
        self.levels[level].plain(self.worth(level, pick))
    }

    /// The same as the solver counts it.
    pub(super) fn worth(&self, level: usize, pick: &Pick) -> i128 {
        let values: Vec<i64> = couples([&pick.firsts, &pick.seconds])
            .into_iter()
            .flatten()
            .filter_map(|(slot, items)| self.levels[level].value(self, pick.setting, slot, items))
            .collect();
        measured(self.levels[level].aim, &values)
    }
}

fn total(prices: &[i64]) -> i64 {
    prices.iter().fold(0, |all, &price| all.saturating_add(price))
}

/// What values are worth together.
fn measured(aim: JointAim, values: &[i64]) -> i128 {
    let wide = || values.iter().map(|&value| i128::from(value));
    let away = |target: i64| wide().map(move |value| (value - i128::from(target)).abs());
    match aim {
        JointAim::Spread => wide().max().unwrap_or(0) - wide().min().unwrap_or(0),
        JointAim::WorstFrom { target } => away(target).max().unwrap_or(0),
        JointAim::SquaresFrom { target } => away(target).map(|away| away * away).sum(),
        JointAim::SquaresAboutMean => {
            values.len() as i128 * wide().map(|value| value * value).sum::<i128>() - wide().sum::<i128>().pow(2)
        }
        JointAim::Total => wide().sum(),
    }
}

impl Left<'_, '_> {
    /// Betters a choice by a criterion, those before it held; whether its value then is the best, and that value.
    fn better(&mut self, level: usize, asked: Asked<'_>, pick: &mut Pick) -> Result<(bool, i128), PlanError> {
        let all = self.pieces.clone();
        self.without_like_pieces(level);
        let bring_in = asked.bring_in.and_then(|part| u32::try_from(part).ok()).map(Item::new);
        let start = self.joint_choice(level, pick);
        let effort = if asked.is_nothing() { EFFORT } else { self.joint.later.share() };
        let solve = |problem: JointProblem<'_>| {
            let problem = bring_in.map_or_else(|| Ok(problem.clone()), |item| problem.clone().bring_in(item))?;
            let problem = start.map_or_else(|| Ok(problem.clone()), |start| problem.clone().start_from(start))?;
            Ok(solve_joint(&problem, &Budget::nodes(effort))?)
        };
        let outcome = self.posed(level, solve)?;
        let (is_best, solution) = match outcome {
            Some(JointOutcome::Proven(solution)) => (true, Some(solution)),
            Some(JointOutcome::BestFound { solution, .. }) => (false, Some(solution)),
            _ => (false, None),
        };
        if !is_best && !asked.is_nothing() {
            self.joint.later.spend(effort);
        }
        if let Some(JointSolution { choice, .. }) = solution {
            *pick = self.pick(&choice);
        }
        self.pieces = all;
        Ok((is_best, self.joint.worth(level, pick)))
    }

    /// Moves on to the first of all choices that are left; whether it is known to be that.
    fn first(&self, pick: &mut Pick) -> Result<bool, PlanError> {
        let Some(known) = self.joint_choice(0, pick) else { return Ok(false) };
        let groups: Vec<usize> = self.pieces.iter().map(|piece| piece.setting).collect();
        let answer =
            |problem: JointProblem<'_>| Ok(first_joint(&problem, &groups, known, &Budget::nodes(ORDER_EFFORT))?);
        let Some(first) = self.posed(0, answer)? else { return Ok(false) };
        *pick = self.pick(&first.choice);
        Ok(first.is_first)
    }

    fn pick(&self, choice: &JointChoice) -> Pick {
        let indices = |items: &[Item]| items.iter().map(|item| item.index()).collect();
        Pick {
            setting: self.pieces[choice.outer.index()].setting,
            firsts: indices(choice.first.items()),
            seconds: indices(choice.second.items()),
        }
    }

    /// A choice as the solver names it.
    pub(super) fn joint_choice(&self, level: usize, pick: &Pick) -> Option<JointChoice> {
        let outer = self.piece_of(level, pick.setting, [&pick.firsts, &pick.seconds])?;
        let kind = |parts: &[usize]| {
            let items: Option<Vec<Item>> = parts.iter().map(|&part| u32::try_from(part).ok().map(Item::new)).collect();
            items.map(Choice::new)
        };
        Some(JointChoice { outer, first: kind(&pick.firsts)?, second: kind(&pick.seconds)? })
    }

    /// Puts the question of a criterion to the solver, over all pieces; `None` where there is none.
    pub(super) fn posed<R>(
        &self,
        level: usize,
        answer: impl FnOnce(JointProblem<'_>) -> Result<R, PlanError>,
    ) -> Result<Option<R>, PlanError> {
        self.posed_at(level, &[], answer)
    }

    /// The same, every part at a price: for every piece, those of either role.
    ///
    /// Prices are at least 0, and what all of them come to is taken off each choice: so no choice is dearer than it was,
    /// and one that uses all parts that have a price is worth what it was. What is the least total with prices is it
    /// without.
    pub(super) fn posed_at<R>(
        &self,
        level: usize,
        prices: &[[Vec<i64>; 2]],
        answer: impl FnOnce(JointProblem<'_>) -> Result<R, PlanError>,
    ) -> Result<Option<R>, PlanError> {
        if self.pieces.is_empty() {
            return Ok(None);
        }
        let (joint, pieces) = (self.joint, &self.pieces);
        let free = |outer: Outer, slot: Slot, items: Couple| {
            let piece = &pieces[outer.index()];
            if !self.is_within(piece, slot, items) {
                return None;
            }
            let value = self.value(level, piece, slot, items)?;
            let Some([first, second]) = prices.get(outer.index()) else { return Some(value) };
            let price = first.get(items.first.index())?.saturating_add(*second.get(items.second.index())?);
            let all = if slot.index() == 0 { total(first).saturating_add(total(second)) } else { 0 };
            Some(value.saturating_add(price).saturating_sub(all))
        };
        let may_stand = |outer: Outer, one: Filled, other: Filled| self.may_stand(&pieces[outer.index()], one, other);
        let is_settled = joint.is_settled() && self.apart.is_empty();
        let [first, second] = &self.tables;
        let statement = JointStatement {
            first,
            second,
            barred: &[],
            offsets: &vec![vec![0; first.shape().slots]; pieces.len()],
            scale: Scale::Free(&free),
            beside: (!is_settled).then_some(Beside(&may_stand)),
        };
        let worths: Vec<_> = self
            .sums
            .iter()
            .flat_map(|&(held, measure, most)| {
                // The prices of a total close branches far sooner; what it comes to without them has the last word.
                let ways: &[bool] = if measure == Measure::Total { &[true, false] } else { &[false] };
                ways.iter().map(move |&is_priced| {
                    let worth = move |outer: Outer, slot: Slot, items: Couple| {
                        let piece = &pieces[outer.index()];
                        let value = self.value(held, piece, slot, items)?;
                        Some(if is_priced { piece.priced_value(held, value, slot, items) } else { value })
                    };
                    (worth, measure, most)
                })
            })
            .collect();
        let limits: Vec<SumLimit<'_>> =
            worths.iter().map(|(worth, measure, most)| SumLimit { worth, measure: *measure, most: *most }).collect();
        let problem = JointProblem::new(statement, self.levels[level].aim)?.with_tie_effort(0).within(&limits);
        answer(problem).map(Some)
    }

    fn may_stand(&self, piece: &Piece, one: Filled, other: Filled) -> bool {
        let joint = self.joint;
        let setting = piece.setting;
        let place = |filled: Filled| {
            let (cell, at) = joint.meetings.place(setting, filled.slot, filled.items)?;
            let (first, second) = (filled.items.first.index(), filled.items.second.index());
            Some(Place { position: filled.slot.index(), setting: &joint.settings[setting], first, second, cell, at })
        };
        let value = |level: usize, filled: Filled| self.levels[level].value(joint, setting, filled.slot, filled.items);
        let is_near = |&(level, width): &(usize, i64)| {
            value(level, one).zip(value(level, other)).is_some_and(|(one, other)| (one - other).abs() <= width)
        };
        let (Some(a), Some(b)) = (place(one), place(other)) else { return false };
        joint.hold_beside(a, b) && self.apart.iter().all(is_near)
    }
}
