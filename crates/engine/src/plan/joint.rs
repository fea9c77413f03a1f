//! Two roles chosen a position: pistons and rods, jointly with heads and gaskets.

use std::collections::BTreeSet;

use pairwright_assign::{
    Beside, Budget, Couple, Filled, Item, JointFloors, JointOutcome, JointProblem, JointShortage, JointStatement,
    Outer, Scale, Shape, Side, Slot, Table, solve_joint,
};

use super::admission::Relaxed;
use super::apart::{Apart, Place};
use super::chain::Pick;
use super::choose::PlanError;
use super::levels::Level;
use super::likeness::Likeness;
use super::meetings::{self, Meetings};
use super::outers::Dressed;
use super::purse::Purse;
use super::question::Question;
use super::search::Asked;
use super::setting::{Setting, pinned_out};
use super::stretch::Stretches;
use crate::job::{Goal, Measured};
use crate::quantity::Amount;

/// Partial plans that one search may look at.
pub(super) const EFFORT: u64 = 30_000_000;
/// The first share of an explanation's question, and the least.
const SHARE: (u64, u64) = (300_000, 20_000);

/// The value of the aim wherever two parts can meet, for every way to dress a bank.
#[derive(Debug)]
pub(crate) struct Joint<'q> {
    pub(super) question: &'q Question<'q>,
    pub(super) settings: Vec<Setting>,
    pub(super) meetings: Meetings,
    /// Limits on two positions at once.
    pub(super) apart: Vec<Apart<'q>>,
    /// One of them, settled by what parts are chosen from.
    pub(super) stretches: Option<Stretches>,
    /// Every outer choice.
    pub(super) every: Vec<Dressed>,
    /// Those under which something may be chosen.
    pub(super) possible: Vec<Dressed>,
    /// Which of them come to the same by the aim.
    likeness: Likeness,
    /// What the aim is at least under each of them.
    pub(super) floors: Option<JointFloors>,
    pub(super) shape: [usize; 2],
    /// The criteria in order; behind them the price, where only so much may be spent.
    pub(super) levels: Vec<Level>,
    /// So many criteria come before the aim.
    pub(super) before: usize,
    /// So many criteria there are.
    pub(super) told: usize,
    /// What may be spent in all, in ticks of money.
    pub(super) spend: Option<i64>,
    /// What the questions of an explanation may spend on the aim, and on what comes after it.
    pub(super) purse: Purse,
    pub(super) later: Purse,
}

/// What came of one joint search.
#[derive(Clone, Debug)]
pub(crate) enum Found {
    /// Parts of both roles under a setting.
    Choice {
        pick: Pick,
        /// The aim's value, as the solver counts it: less is better.
        value: i128,
        /// The search ended before it was through.
        stopped: bool,
    },
    /// These positions compete for these parts of the first role; empty where only both roles together fall short.
    Short { positions: Vec<usize>, parts: Vec<usize> },
    /// The search ended before it was through, and without a choice.
    Undecided,
}

impl<'q> Joint<'q> {
    /// Works out every value there is.
    ///
    /// # Errors
    /// [`PlanError::TooManySettings`].
    pub(super) fn new(question: &'q Question<'q>, relaxed: Relaxed) -> Result<Self, PlanError> {
        let settings = question.settings().ok_or(PlanError::TooManySettings)?;
        let second = question.second_role().unwrap_or(0);
        let shape = [question.first_role(), second].map(|role| question.stocks[role].parts.len());
        let aim = &question.matching.aim;
        let meetings = Meetings {
            banks: (0..question.positions.len()).map(|position| question.bank(position)).collect(),
            seconds: shape[1],
            turned: aim.goal == Goal::Highest && aim.by == Measured::Total,
            ..Meetings::default()
        };
        let apart = Apart::all(question, relaxed);
        let mut joint = Self {
            question,
            settings,
            meetings,
            apart,
            stretches: None,
            every: Vec::new(),
            possible: Vec::new(),
            likeness: Likeness::default(),
            floors: None,
            shape,
            levels: Vec::new(),
            before: question.matching.buying.first.len(),
            told: 0,
            spend: question.matching.buying.spend.filter(|_| !relaxed.unpaid).map(Amount::ticks),
            purse: Purse::new(SHARE.0, SHARE.1),
            later: super::chain::purse(),
        };
        let mut dressed: Vec<(usize, Setting)> = Vec::new();
        for at in 0..joint.settings.len() {
            let mut ways = Vec::with_capacity(question.banks());
            for bank in 0..question.banks() {
                let own = joint.settings[at].on(bank);
                let known = dressed.iter().position(|(of, dress)| (*of, dress) == (bank, &own));
                ways.push(known.unwrap_or_else(|| {
                    let cells = (0..question.positions.len()).map(|position| {
                        let here = question.bank(position) == bank;
                        if here { meetings::cells(question, shape, position, (&own, relaxed)) } else { Vec::new() }
                    });
                    let cells: Vec<Vec<i64>> = cells.collect();
                    joint.meetings.cells.extend(cells);
                    joint.learn_apart(bank, &own);
                    dressed.push((bank, own));
                    dressed.len() - 1
                }));
            }
            joint.meetings.ways.push(ways);
        }
        joint.stretches = Stretches::of(&joint.apart, question.positions.len());
        joint.levels = Level::all(&joint);
        joint.told = joint.levels.len();
        if joint.spend.is_some() {
            joint.levels.push(Level::price(&joint));
        }
        joint.every = joint.every_outer();
        joint.possible = joint.possible_outers()?;
        joint.likeness = joint.likeness_of(&joint.possible);
        let floors = |problem: &JointProblem<'_>| Ok(JointFloors::new(problem)?);
        joint.floors = joint.posed(Asked::default(), &joint.possible, floors)?;
        Ok(joint)
    }

    /// Works out what limits on two positions at once ask for, on a bank dressed so.
    fn learn_apart(&mut self, bank: usize, setting: &Setting) {
        let (question, [firsts, seconds]) = (self.question, self.shape);
        for apart in &mut self.apart {
            for position in 0..question.positions.len() {
                let here = question.bank(position) == bank;
                let seat = |at: usize| {
                    let seat = question.seat(position, setting, Some(at % seconds));
                    Some(seat.with(question.first_role(), at / seconds))
                };
                apart.learn((0..if here { firsts * seconds } else { 0 }).map(seat));
            }
        }
    }

    /// Every setting there is.
    pub(super) fn settings(&self) -> &[Setting] {
        &self.settings
    }

    /// The best choice of both roles by the aim alone, over the settings asked for and whatever it costs.
    pub(super) fn best(&self, asked: Asked<'_>) -> Result<Found, PlanError> {
        let wanted = self.possible.iter().enumerate().filter(|(_, outer)| self.wants(asked, outer));
        let numbers = self.likeness.fewest(&wanted.map(|(number, _)| number).collect::<Vec<_>>());
        let outers: Vec<Dressed> = numbers.iter().map(|&number| self.possible[number].clone()).collect();
        let effort = if asked.is_nothing() { EFFORT } else { self.purse.share() };
        let solve = |problem: &JointProblem<'_>| {
            let floors = self.floors.as_ref().map(|floors| floors.of_outers(numbers.iter().copied()));
            let problem = floors.map_or_else(|| Ok(problem.clone()), |floors| problem.clone().with_floors(floors))?;
            Ok(solve_joint(&problem, &Budget::nodes(effort))?)
        };
        let Some(outcome) = self.posed(asked, &outers, solve)? else {
            return Ok(Found::Short { positions: Vec::new(), parts: Vec::new() });
        };
        let stopped = matches!(outcome, JointOutcome::BestFound { .. });
        if stopped && !asked.is_nothing() {
            self.purse.spend(effort);
        }
        Ok(match outcome {
            JointOutcome::Proven(solution) | JointOutcome::BestFound { solution, .. } => Found::Choice {
                pick: Pick {
                    setting: outers[solution.choice.outer.index()].setting,
                    firsts: indices(solution.choice.first.items()),
                    seconds: indices(solution.choice.second.items()),
                },
                value: solution.value,
                stopped,
            },
            JointOutcome::Impossible(JointShortage::Kind { side: Side::First, shortage }) => Found::Short {
                positions: shortage.slots.iter().map(|slot| slot.index()).collect(),
                parts: indices(&shortage.items),
            },
            JointOutcome::NothingFound { .. } => Found::Undecided,
            JointOutcome::Impossible(_) => Found::Short {
                positions: (0..self.question.positions.len()).collect(),
                parts: (0..self.shape[0]).collect(),
            },
        })
    }

    /// Puts the question to the solver, over these outer choices; `None` where there is none.
    pub(super) fn posed<R>(
        &self,
        asked: Asked<'_>,
        outers: &[Dressed],
        answer: impl FnOnce(&JointProblem<'_>) -> Result<R, PlanError>,
    ) -> Result<Option<R>, PlanError> {
        if outers.is_empty() {
            return Ok(None);
        }
        let [first, second] = self.tables(asked)?;
        let meetings = &self.meetings;
        let numbering = self.numbering();
        let free = |outer: Outer, slot: Slot, items: Couple| {
            let outer = &outers[outer.index()];
            if !outer.open.has(numbering.number(slot, items)) {
                return None;
            }
            meetings.value(meetings.place(outer.setting, slot, items)?)
        };
        let place = |outer: Outer, filled: Filled| {
            let setting = outers[outer.index()].setting;
            let (cell, at) = meetings.place(setting, filled.slot, filled.items)?;
            let Couple { first, second } = filled.items;
            let (first, second, setting) = (first.index(), second.index(), &self.settings[setting]);
            Some(Place { position: filled.slot.index(), setting, first, second, cell, at })
        };
        let may_stand = |outer: Outer, one: Filled, other: Filled| {
            let (Some(one), Some(other)) = (place(outer, one), place(outer, other)) else { return false };
            self.hold_beside(one, other)
        };
        let is_settled = self.is_settled();
        let statement = JointStatement {
            first: &first,
            second: &second,
            barred: &[],
            offsets: &vec![vec![0; first.shape().slots]; outers.len()],
            scale: Scale::Free(&free),
            beside: (!is_settled).then_some(Beside(&may_stand)),
        };
        // What is equally good by the aim is told apart by the criteria that come after it.
        let mut problem = JointProblem::new(statement, self.levels[self.before].aim)?.with_tie_effort(0);
        if let Some(part) = asked.bring_in.and_then(|part| u32::try_from(part).ok()) {
            problem = problem.bring_in(Item::new(part))?;
        }
        answer(&problem).map(Some)
    }

    /// By how many ticks parts that could meet miss the limit with this index: ascending, each distance once.
    pub(super) fn shortfalls(&self, limit: usize) -> Vec<i64> {
        let question = self.question;
        let roles = [question.first_role(), question.second_role().unwrap_or(0)];
        let mut missed = BTreeSet::new();
        let mut seen = BTreeSet::new();
        for setting in &self.settings {
            for position in 0..question.positions.len() {
                if !seen.insert((position, setting.on(question.bank(position)))) {
                    continue;
                }
                for (first, second) in
                    (0..self.shape[0]).flat_map(|first| (0..self.shape[1]).map(move |second| (first, second)))
                {
                    let may = [(roles[0], first), (roles[1], second)]
                        .iter()
                        .all(|&(role, part)| question.may_go(role, position, part));
                    if may && question.may_meet(first, second) {
                        let seat = question.seat(position, setting, Some(second)).with(roles[0], first);
                        missed.insert(question.shortfall(limit, seat, false));
                    }
                }
            }
        }
        missed.into_iter().filter(|&ticks| ticks > 0).collect()
    }

    /// Where the parts of each role may stand at all, as tables of zeros.
    pub(super) fn tables(&self, asked: Asked<'_>) -> Result<[Table; 2], PlanError> {
        let slots = self.question.positions.len();
        let roles = [self.question.first_role(), self.question.second_role().unwrap_or(0)];
        let table = |which: usize| {
            let role = roles[which];
            let may = |slot: Slot, item: Item| {
                let (position, part) = (slot.index(), item.index());
                let own =
                    self.question.may_go(role, position, part) && !pinned_out(self.question, role, position, part);
                let asked = which != 0 || asked.allows(self.question.stocks[role], position, part);
                (own && asked).then_some(0)
            };
            Table::from_fn(Shape { slots, items: self.shape[which] }, may)
        };
        Ok([table(0)?, table(1)?])
    }

    /// Whether no two positions are left to compare.
    pub(super) fn is_settled(&self) -> bool {
        match &self.stretches {
            Some(stretches) => stretches.settle_all(&self.apart),
            None => self.apart.is_empty(),
        }
    }

    /// Whether two positions keep what limits on two at once ask of them.
    pub(super) fn hold_beside(&self, one: Place<'_>, other: Place<'_>) -> bool {
        match &self.stretches {
            Some(stretches) => stretches.hold_beside(&self.apart, one, other),
            None => self.apart.iter().all(|apart| apart.holds(one, other)),
        }
    }
}

fn indices(items: &[Item]) -> Vec<usize> {
    items.iter().map(|item| item.index()).collect()
}
