//! The criteria of two roles, settled one after the other over both at once: the aim, what comes before it, and what after.

use pairwright_assign::{
    Beside, Budget, Couple, Filled, Item, JointAim, JointOutcome, JointProblem, JointSolution, JointStatement, Outer,
    Scale, Slot, SumLimit, first_joint, solve_joint,
};
use pairwright_proof::{Choice, JointChoice, Measure};

use super::apart::Place;
use super::choose::{PlanError, squares_slack};
use super::joint::{Found, Joint};
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

/// A choice that is settled by the criteria, one after the other.
#[derive(Clone, Debug)]
pub(super) struct Settled {
    pub(super) pick: Pick,
    /// What it is worth by every criterion.
    pub(super) values: Vec<i128>,
    /// So many criteria, from the first on, no other choice is better by.
    pub(super) exact: usize,
    /// Of all choices equal by every criterion it is the first.
    pub(super) is_first: bool,
}

/// What settling comes to.
#[derive(Clone, Debug)]
pub(super) enum InOrder {
    Settled(Settled),
    /// See [`Found::Short`].
    Short {
        positions: Vec<usize>,
        parts: Vec<usize>,
    },
    /// The search ended before it was through, and without a choice.
    Undecided,
}

/// The best choice by the aim where nothing comes before it: its value, and whether that is known for certain.
type Known = (Pick, i128, bool);

impl Joint<'_> {
    /// The best choice by every criterion in order.
    pub(super) fn in_order(&self, asked: Asked<'_>) -> Result<InOrder, PlanError> {
        self.in_order_up_to(asked, self.told)
    }

    /// The best choice by the aim, what comes before it held, and its value as the solver counts it.
    pub(super) fn best_by_the_aim(&self) -> Result<Option<(Pick, i128)>, PlanError> {
        let InOrder::Settled(Settled { pick, .. }) = self.in_order_up_to(Asked::default(), self.before + 1)? else {
            return Ok(None);
        };
        let value = self.worth(self.before, &pick);
        Ok(Some((pick, value)))
    }

    /// The same for the first of the criteria.
    fn in_order_up_to(&self, asked: Asked<'_>, told: usize) -> Result<InOrder, PlanError> {
        let known = match self.best_by_the_aim_alone(asked)? {
            Ok(known) => known,
            Err(none) => return Ok(none),
        };
        let mut left = self.left_of(asked, known.as_ref().map(|known| known.1))?;
        let mut exact = usize::from(known.as_ref().is_some_and(|known| known.2));
        let mut bound = known.as_ref().map(|&(_, value, _)| value + self.slack(value));
        let mut pick = known.map(|(pick, ..)| pick);
        for at in usize::from(pick.is_some())..told {
            if let (Some(bound), Some(before)) = (bound, at.checked_sub(1)) {
                left.hold(before, bound)?;
            }
            let is_best = left.better(at, asked, &mut pick)?;
            let Some(own) = &pick else { return Ok(if is_best { self.short() } else { InOrder::Undecided }) };
            exact += usize::from(is_best && exact == at);
            let value = self.worth(at, own);
            bound = Some(if at == self.before { value + self.slack(value) } else { value });
        }
        let Some(mut pick) = pick else { return Ok(InOrder::Undecided) };
        let mut is_first = false;
        if let Some(bound) = bound.filter(|_| asked.is_nothing() && told == self.told) {
            left.hold(told - 1, bound)?;
            is_first = left.first(&mut pick)?;
        }
        let values = (0..self.told).map(|at| self.plain_worth(at, &pick)).collect();
        Ok(InOrder::Settled(Settled { pick, values, exact, is_first }))
    }

    /// The best choice by the aim, where nothing comes before it and its price does not matter or is low enough; or why there
    /// is none at all.
    fn best_by_the_aim_alone(&self, asked: Asked<'_>) -> Result<Result<Option<Known>, InOrder>, PlanError> {
        if self.before > 0 {
            return Ok(Ok(None));
        }
        Ok(match self.best(asked)? {
            Found::Choice { pick, value, stopped } if self.can_pay_for(&pick) => Ok(Some((pick, value, !stopped))),
            Found::Short { positions, parts } => Err(InOrder::Short { positions, parts }),
            Found::Undecided if self.spend.is_none() => Err(InOrder::Undecided),
            Found::Choice { .. } | Found::Undecided => Ok(None),
        })
    }

    /// What is to be chosen among, which costs no more than may be spent; where the best value of the aim is known, without
    /// what does not reach it.
    fn left_of(&self, asked: Asked<'_>, best: Option<i128>) -> Result<Left<'_, '_>, PlanError> {
        let reaches = |at: usize| match (&self.floors, best) {
            (Some(floors), Some(best)) => floors.may_reach(at, best + self.slack(best)),
            _ => true,
        };
        let numbered = self.possible.iter().enumerate();
        let outers = numbered.filter(|&(at, outer)| self.wants(asked, outer) && reaches(at));
        let outers = outers.map(|(_, outer)| outer.clone());
        let mut left = Left::new(self, &self.levels, self.tables(asked)?, outers);
        left.hold_spend()?;
        Ok(left)
    }

    /// A choice of the least price, whatever may be spent: with whether no other is cheaper.
    pub(super) fn cheapest(&self) -> Result<Option<(Pick, i128, bool)>, PlanError> {
        let (found, is_best) = self.cheapest_of(Asked::default())?;
        Ok(found.map(|(pick, price)| (pick, price, is_best)))
    }

    /// The same of a question of an explanation; without a choice, whether there is none.
    pub(super) fn cheapest_of(&self, asked: Asked<'_>) -> Result<(Option<(Pick, i128)>, bool), PlanError> {
        let price = self.told;
        let outers = self.possible.iter().filter(|outer| self.wants(asked, outer)).cloned();
        let mut left = Left::new(self, &self.levels, self.tables(asked)?, outers);
        let mut pick = None;
        let is_best = left.better(price, asked, &mut pick)?;
        let found = pick.map(|pick| {
            let value = self.worth(price, &pick);
            (pick, value)
        });
        Ok((found, is_best))
    }

    /// Any choice within the limits and what may be spent; `None` where there is none, or none was found.
    pub(super) fn any_within_means(&self) -> Result<Option<Pick>, PlanError> {
        let found = match self.best(Asked::default())? {
            Found::Choice { pick, .. } => Some(pick),
            Found::Short { .. } => return Ok(None),
            Found::Undecided => None,
        };
        if found.as_ref().is_some_and(|pick| self.can_pay_for(pick)) || self.spend.is_none() {
            return Ok(found);
        }
        Ok(self.cheapest()?.map(|(pick, ..)| pick).filter(|pick| self.can_pay_for(pick)))
    }

    /// Whether a choice costs no more than may be spent.
    pub(super) fn can_pay_for(&self, pick: &Pick) -> bool {
        self.spend.is_none_or(|most| self.worth(self.told, pick) <= most.into())
    }

    /// All positions compete for all parts: there is no choice of both roles at once.
    fn short(&self) -> InOrder {
        let positions = (0..self.question.positions.len()).collect();
        InOrder::Short { positions, parts: (0..self.shape[0]).collect() }
    }

    /// How much the aim may give for what comes next, in the solver's unit, from its best value.
    pub(super) fn slack(&self, best: i128) -> i128 {
        let aim = &self.question.matching.aim;
        let Some(slack) = aim.slack else { return 0 };
        if aim.by != Measured::Squares {
            return slack.ticks().into();
        }
        let measure = self.levels[self.before].aim.measure();
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
    /// Betters a choice by a criterion, those before it held, or finds one: whether it then is the best, or none at all means
    /// that there is none.
    fn better(&mut self, level: usize, asked: Asked<'_>, pick: &mut Option<Pick>) -> Result<bool, PlanError> {
        let all = self.pieces.clone();
        self.without_like_pieces(level);
        let bring_in = asked.bring_in.and_then(|part| u32::try_from(part).ok()).map(Item::new);
        let start = pick.as_ref().and_then(|pick| self.joint_choice(level, pick));
        let (purse, effort) = self.effort(level, asked);
        let solve = |problem: JointProblem<'_>| {
            let problem = bring_in.map_or_else(|| Ok(problem.clone()), |item| problem.clone().bring_in(item))?;
            let problem = start.map_or_else(|| Ok(problem.clone()), |start| problem.clone().start_from(start))?;
            Ok(solve_joint(&problem, &Budget::nodes(effort))?)
        };
        let outcome = self.posed(level, solve)?;
        let (is_best, solution) = match outcome {
            Some(JointOutcome::Proven(solution)) => (true, Some(solution)),
            Some(JointOutcome::BestFound { solution, .. }) => (false, Some(solution)),
            Some(JointOutcome::NothingFound { .. }) => (false, None),
            Some(JointOutcome::Impossible(_)) | None => (pick.is_none(), None),
        };
        if !is_best && !asked.is_nothing() {
            purse.spend(effort);
        }
        if let Some(JointSolution { choice, .. }) = solution {
            *pick = Some(self.pick(&choice));
        }
        self.pieces = all;
        Ok(is_best)
    }

    /// How much the search for a criterion may look at, and whose it is: as much for what comes before the aim, and for a
    /// price that is no criterion, as for the aim.
    fn effort(&self, level: usize, asked: Asked<'_>) -> (&Purse, u64) {
        let joint = self.joint;
        let is_main = level <= joint.before || level >= joint.told;
        let purse = if is_main { &joint.purse } else { &joint.later };
        let effort = match (asked.is_nothing(), is_main) {
            (true, true) => super::joint::EFFORT,
            (true, false) => EFFORT,
            (false, _) => purse.share(),
        };
        (purse, effort)
    }

    /// Keeps to choices that cost no more than may be spent.
    pub(super) fn hold_spend(&mut self) -> Result<(), PlanError> {
        let joint = self.joint;
        joint.spend.map_or(Ok(()), |most| self.hold(joint.told, most.into()))
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
