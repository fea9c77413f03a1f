//! Two roles chosen a position: pistons and rods, jointly with heads and gaskets.

use std::collections::BTreeSet;

use pairwright_assign::{
    Beside, Budget, Couple, Filled, Item, JointAim, JointFloors, JointOutcome, JointProblem, JointShortage,
    JointStatement, Outer, Scale, Shape, Side, Slot, Table, prove_joint, solve_joint,
};
use pairwright_proof::{Checked, Choice, JointChoice, JointProof, check_joint, verify_joint};

use super::admission::Relaxed;
use super::apart::{Apart, Place};
use super::certificate::Certificate;
use super::choose::PlanError;
use super::meetings::{self, Meetings};
use super::outers::Dressed;
use super::question::Question;
use super::search::Asked;
use super::setting::{Setting, pinned_out};
use super::stretch::Stretches;
use crate::job::{Goal, Measured};

/// Partial plans that one search may look at.
const EFFORT: u64 = 30_000_000;
/// Beyond every value of a fit, and inside what the solver calculates with.
const FAR: i64 = 1 << 41;

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
    /// The outer choices under which something may be chosen.
    possible: Vec<Dressed>,
    /// What the aim is at least under each of them.
    floors: Option<JointFloors>,
    shape: [usize; 2],
}

/// What came of one joint search.
#[derive(Clone, Debug)]
pub(crate) enum Found {
    /// Parts of both roles under a setting.
    Choice {
        setting: usize,
        firsts: Vec<usize>,
        seconds: Vec<usize>,
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
        let mut joint =
            Self { question, settings, meetings, apart, stretches: None, possible: Vec::new(), floors: None, shape };
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
        joint.possible = joint.possible_outers()?;
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

    /// The best choice of both roles over the settings asked for.
    pub(super) fn best(&self, asked: Asked<'_>) -> Result<Found, PlanError> {
        let wanted = self.possible.iter().copied().enumerate().filter(|&(_, outer)| self.wants(asked, outer));
        let (numbers, outers): (Vec<usize>, Vec<Dressed>) = wanted.unzip();
        let solve = |problem: &JointProblem<'_>| {
            let floors = self.floors.as_ref().map(|floors| floors.of_outers(numbers.iter().copied()));
            let problem = floors.map_or_else(|| Ok(problem.clone()), |floors| problem.clone().with_floors(floors))?;
            Ok(solve_joint(&problem, &Budget::nodes(EFFORT))?)
        };
        let Some(outcome) = self.posed(asked, &outers, solve)? else {
            return Ok(Found::Short { positions: Vec::new(), parts: Vec::new() });
        };
        let stopped = matches!(outcome, JointOutcome::BestFound { .. });
        Ok(match outcome {
            JointOutcome::Proven(solution) | JointOutcome::BestFound { solution, .. } => Found::Choice {
                setting: outers[solution.choice.outer.index()].setting,
                firsts: indices(solution.choice.first.items()),
                seconds: indices(solution.choice.second.items()),
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
    fn posed<R>(
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
        let free = |outer: Outer, slot: Slot, items: Couple| {
            let outer = outers[outer.index()];
            let place = meetings.place(outer.setting, slot, items)?;
            if self.is_within(outer, place) { meetings.value(place) } else { None }
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
            match &self.stretches {
                Some(stretches) => stretches.hold_beside(&self.apart, one, other),
                None => self.apart.iter().all(|apart| apart.holds(one, other)),
            }
        };
        let is_settled = match &self.stretches {
            Some(stretches) => stretches.settle_all(&self.apart),
            None => self.apart.is_empty(),
        };
        let statement = JointStatement {
            first: &first,
            second: &second,
            barred: &[],
            offsets: &vec![vec![0; first.shape().slots]; outers.len()],
            scale: Scale::Free(&free),
            beside: (!is_settled).then_some(Beside(&may_stand)),
        };
        // What explains a plan is told by its price; only the plan itself is settled among its equals.
        let ties = u64::from(asked.is_nothing());
        let mut problem = JointProblem::new(statement, self.aim())?.with_tie_effort(ties);
        if let Some(part) = asked.bring_in.and_then(|part| u32::try_from(part).ok()) {
            problem = problem.bring_in(Item::new(part))?;
        }
        answer(&problem).map(Some)
    }

    /// Why no choice of both roles has a better aim than `value`, as the criteria count it; `None` where no proof
    /// is found.
    pub(super) fn proof(&self, value: i128) -> Result<Option<JointProof>, PlanError> {
        let value = self.searched(value);
        let prove = |problem: &JointProblem<'_>| Ok(prove_joint(problem, value, &Budget::nodes(EFFORT)).ok());
        Ok(self.posed(Asked::default(), &self.every_outer(), prove)?.flatten())
    }

    /// Goes over a certificate: the aim is proven, or nothing.
    pub(super) fn check(&self, certificate: &Certificate, of: usize) -> Result<Checked, PlanError> {
        let outer = self.outer_of(certificate).ok_or(PlanError::NoSetting)?;
        let items = |parts: &[usize]| {
            Choice::new(parts.iter().map(|&part| Item::new(u32::try_from(part).unwrap_or(u32::MAX))).collect())
        };
        let choice = JointChoice {
            outer: Outer::new(outer),
            first: items(&certificate.parts),
            second: items(&certificate.seconds),
        };
        let value = self.searched(certificate.values.first().copied().unwrap_or(0));
        let verify = |problem: &JointProblem<'_>| {
            let (statement, measure) = (problem.statement(), problem.aim().measure());
            match &certificate.joint {
                Some(proof) => verify_joint(statement, measure, &choice, value, proof)?,
                None => check_joint(statement, measure, &choice, value)?,
            }
            Ok(usize::from(certificate.joint.is_some()))
        };
        let levels = self.posed(Asked::default(), &self.every_outer(), verify)?.unwrap_or(0);
        Ok(Checked { levels, of })
    }

    /// The first outer choice that a plan belongs to.
    fn outer_of(&self, certificate: &Certificate) -> Option<u32> {
        let setting = self.settings.iter().position(|setting| *setting == certificate.setting)?;
        let number = |part: usize| u32::try_from(part).ok().map(Item::new);
        let place = |(slot, (&first, &second)): (u32, (&usize, &usize))| {
            let items = Couple { first: number(first)?, second: number(second)? };
            self.meetings.place(setting, Slot::new(slot), items)
        };
        let parts = (0..).zip(certificate.parts.iter().zip(&certificate.seconds));
        let places: Vec<(usize, usize)> = parts.map(place).collect::<Option<_>>()?;
        let holds = |outer: &Dressed| outer.setting == setting && places.iter().all(|&at| self.is_within(*outer, at));
        self.every_outer().iter().position(holds).and_then(|outer| u32::try_from(outer).ok())
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
                let own = self.question.may_go(role, position, part)
                    && !pinned_out(self.question.matching, role, position, part);
                let asked = which != 0 || asked.forbid != Some((position, part)) && asked.leave_out != Some(part);
                (own && asked).then_some(0)
            };
            Table::from_fn(Shape { slots, items: self.shape[which] }, may)
        };
        Ok([table(0)?, table(1)?])
    }

    /// The aim as the solver takes it.
    fn aim(&self) -> JointAim {
        let aim = &self.question.matching.aim;
        match (aim.goal, aim.by) {
            (Goal::Even, Measured::Squares) => JointAim::SquaresAboutMean,
            (Goal::Even, _) => JointAim::Spread,
            (Goal::Near(target), Measured::Squares) => JointAim::SquaresFrom { target: target.ticks() },
            (Goal::Near(target), _) => JointAim::WorstFrom { target: target.ticks() },
            (Goal::Highest, Measured::Extreme) => JointAim::WorstFrom { target: FAR },
            (Goal::Lowest, Measured::Extreme) => JointAim::WorstFrom { target: -FAR },
            (Goal::Highest | Goal::Lowest, _) => JointAim::Total,
        }
    }

    /// What the solver calls a value of the aim as the criteria count it.
    pub(super) fn searched(&self, value: i128) -> i128 {
        let aim = &self.question.matching.aim;
        match (aim.goal, aim.by) {
            (Goal::Highest, Measured::Extreme) => i128::from(FAR) - value,
            (Goal::Lowest, Measured::Extreme) => value + i128::from(FAR),
            (Goal::Highest, _) => -value,
            _ => value,
        }
    }
}

fn indices(items: &[Item]) -> Vec<usize> {
    items.iter().map(|item| item.index()).collect()
}
