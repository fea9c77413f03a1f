//! The choice: a question's tables to the solver and back, every answer checked.

use pairwright_assign::several::SeveralError;
use pairwright_assign::sides::{SidedOutcome, SidedProblem, SidesError, Standstill, solve_sided};
use pairwright_assign::{Cause, JointError, Outcome, Problem, ProblemError, Reason, solve};
use pairwright_proof::{
    Criterion, Fault, JointFault, JointProofFault, Measure, Neighbour, SeveralFault, SeveralProofFault, Sides, Slot,
    TableError, Window, check_choice, check_sided,
};

use super::tables::Tables;
use crate::readings::ReduceError;

/// What went wrong inside: none of these is the user's doing.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PlanError {
    /// The tables are too large for the solver.
    #[error("the job is larger than the solver takes: {0}")]
    Table(#[from] TableError),
    /// Tables and criteria do not go together.
    #[error("the solver refused the question: {0}")]
    Problem(#[from] ProblemError),
    /// There are more settings of heads and gaskets than can be gone through.
    #[error(
        "there are more than {} ways to set heads and gaskets: bind some of them with `fits` or `keep`",
        super::setting::MOST
    )]
    TooManySettings,
    /// Two roles a position are more than the solver takes.
    #[error("the job is larger than the solver takes: {0}")]
    Joint(#[from] JointError),
    /// Several parts of one kind a position are more than the solver takes.
    #[error("the job is larger than the solver takes: {0}")]
    Several(#[from] SeveralError),
    /// A choice of several parts of one kind a position breaks a rule.
    #[error("the checker refuses the plan: {0}")]
    RefusedBundles(#[from] SeveralFault),
    /// The proof of such a choice does not hold.
    #[error("the checker refuses the proof of the plan: {0}")]
    RefusedSeveral(SeveralProofFault),
    /// Side conditions and tables do not go together.
    #[error("the solver refused the side conditions: {0}")]
    Sides(#[from] SidesError),
    /// The readings cannot be reduced.
    #[error("the readings cannot be reduced: {0}")]
    Reduce(#[from] ReduceError),
    /// A certificate names a setting that cannot be chosen.
    #[error(
        "the plan is none that this match can choose any more: its aim, limits, `spend`, `keep`, `bar` or parts have \
         changed since it was written"
    )]
    NoSetting,
    /// A proof that there is no plan is about something else than what the job asks for.
    #[error("positions, parts, settings, `spend` or limits are not those of the job")]
    Stated,
    /// A proof that there is no plan does not have the form that goes with the match.
    #[error("the proof that there is no plan is of another kind, or of other settings, than the match asks for")]
    OtherProof,
    /// A certificate prices parts where no prices belong, or too low.
    #[error("the prices of the proof are not what a proof may use")]
    Prices,
    /// A joint choice breaks a rule.
    #[error("the checker refuses the joint plan: {0}")]
    RefusedJoint(#[from] JointFault),
    /// A joint proof does not hold.
    #[error("the checker refuses the proof of the joint plan: {0}")]
    RefusedProof(#[from] JointProofFault),
    /// The independent checker does not accept the solver's answer.
    #[error("the checker refuses the plan: {0}")]
    Refused(#[from] Fault),
}

/// A choice that the checker has accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Chosen {
    /// The part of every position, by index.
    pub(crate) parts: Vec<usize>,
    /// The parts of the second role, in position order; of several roles beside the first, all those of a position before
    /// those of the next. Empty without such a role.
    pub(crate) seconds: Vec<usize>,
    /// Number of its setting.
    pub(crate) setting: usize,
    /// Every criterion's value, in order.
    pub(crate) values: Vec<i128>,
    /// Why the search ended early; `None` where no better choice exists.
    pub(crate) stopped: Option<Reason>,
    /// So many criteria, from the aim on, no other choice is better by.
    pub(crate) exact: usize,
    /// Of all choices equal by every criterion it is the first.
    pub(crate) is_first: bool,
}

impl Chosen {
    /// A choice from tables, which settle every criterion and the order unless they end early.
    fn from_tables(parts: Vec<usize>, values: Vec<i128>, stopped: Option<Reason>) -> Self {
        let exact = if stopped.is_none() { values.len() } else { 0 };
        let is_first = stopped.is_none();
        Self { parts, seconds: Vec::new(), setting: 0, values, stopped, exact, is_first }
    }
}

/// The answer to a question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Answer {
    Chosen(Chosen),
    Short(Short),
    /// The search ended before it was through, and without a choice.
    Undecided,
}

/// Positions that compete for too few parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Short {
    pub(crate) positions: Vec<usize>,
    pub(crate) parts: Vec<usize>,
    pub(crate) cause: Cause,
}

impl Short {
    /// No setting can be chosen at all.
    pub(crate) fn no_setting() -> Self {
        Self { positions: Vec::new(), parts: Vec::new(), cause: Cause::Pairs }
    }
}

impl Answer {
    /// The same answer under the setting with this number, with these parts of the second role.
    pub(crate) fn at(mut self, setting: usize, seconds: &[usize]) -> Self {
        if let Self::Chosen(chosen) = &mut self {
            chosen.setting = setting;
            chosen.seconds = seconds.to_vec();
        }
        self
    }

    pub(crate) fn chosen(self) -> Option<Chosen> {
        match self {
            Self::Chosen(chosen) => Some(chosen),
            Self::Short(_) | Self::Undecided => None,
        }
    }
}

impl Tables {
    /// The problem as the solver takes it.
    pub(crate) fn problem(&self) -> Result<Problem<'_>, ProblemError> {
        let criteria = self.ranks.iter().map(|rank| Criterion {
            table: &self.of_ticks[rank.table],
            measure: rank.measure,
            sense: rank.sense,
            slack: rank.slack,
        });
        let windows = self.widths.iter().map(|width| Window { table: &self.of_ticks[width.table], width: width.ticks });
        Problem::new(criteria.collect(), windows.collect())
    }

    /// Solves a problem over these tables and has the independent checker go over the answer.
    pub(crate) fn answer(&self, problem: &Problem<'_>) -> Result<Answer, PlanError> {
        if !self.apart.is_empty() {
            return self.answer_beside(problem);
        }
        let answer = self.answer_alone(problem)?;
        // Where the best plan of all costs no more than may be spent, there is no better one that does.
        if self.is_within_means(&answer) { Ok(answer) } else { self.answer_beside(problem) }
    }

    /// The same with nothing but the criteria and the windows.
    pub(super) fn answer_alone(&self, problem: &Problem<'_>) -> Result<Answer, PlanError> {
        let (solution, stopped) = match solve(problem) {
            Outcome::Proven(solution) => (solution, None),
            Outcome::BestFound { solution, reason, .. } => (solution, Some(reason)),
            Outcome::Impossible(shortage) => {
                return Ok(Answer::Short(Short {
                    positions: shortage.slots.iter().map(|slot| slot.index()).collect(),
                    parts: shortage.items.iter().map(|&item| self.part(item)).collect(),
                    cause: shortage.cause,
                }));
            }
        };
        check_choice(&problem.statement(), &solution.choice, &solution.values)?;
        let parts = solution.choice.items().iter().map(|&item| self.part(item)).collect();
        Ok(Answer::Chosen(Chosen::from_tables(parts, solution.values, stopped)))
    }
}

/// Limits on the difference between neighbours, and on what is spent, make the problem one with side conditions.
impl Tables {
    /// The side conditions as the solver takes them.
    pub(crate) fn sides(&self) -> Sides<'_> {
        let neighbours = self.apart.iter().flat_map(|apart| {
            let table = &self.of_ticks[apart.table];
            self.next_to.iter().map(move |&(one, other)| Neighbour {
                one: slot(one),
                other: slot(other),
                table,
                most: apart.ticks,
            })
        });
        Sides { neighbours: neighbours.collect(), totals: self.totals(), ..Sides::default() }
    }

    fn answer_beside(&self, problem: &Problem<'_>) -> Result<Answer, PlanError> {
        let sides = self.sides();
        let sided = SidedProblem::new(problem.clone(), sides.clone())?;
        let (solution, stopped) = match solve_sided(&sided) {
            SidedOutcome::Proven(solution) => (solution, None),
            SidedOutcome::BestFound { solution, reason, .. } => (solution, Some(reason)),
            SidedOutcome::Impossible(Standstill::Pairs(shortage)) => {
                return Ok(Answer::Short(Short {
                    positions: shortage.slots.iter().map(|slot| slot.index()).collect(),
                    parts: shortage.items.iter().map(|&item| self.part(item)).collect(),
                    cause: Cause::Pairs,
                }));
            }
            SidedOutcome::Undecided { .. } => return Ok(Answer::Undecided),
            SidedOutcome::Impossible(Standstill::Sides(_)) => {
                return Ok(Answer::Short(Short {
                    positions: (0..problem.shape().slots).collect(),
                    parts: self.kept.parts.clone(),
                    cause: Cause::WindowsTogether,
                }));
            }
        };
        check_sided(&problem.statement(), &sides, &solution.choice, &solution.values)?;
        let parts = solution.choice.items().iter().map(|&item| self.part(item)).collect();
        Ok(Answer::Chosen(Chosen::from_tables(parts, solution.values, stopped)))
    }
}

/// How much the squares of so many positions may grow when their root mean square may grow by `slack` ticks.
#[expect(clippy::cast_possible_truncation, reason = "saturates; a slack that large gives everything away")]
pub(super) fn squares_slack(positions: usize, measure: Measure, best: i128, slack: i64) -> i64 {
    let positions = positions as f64;
    // `SquaresAboutMean` is n² times the mean square, `SquaresFrom` is n times.
    let scale = if measure == Measure::SquaresAboutMean { positions * positions } else { positions };
    let rms = (best as f64 / scale).sqrt() + slack as f64;
    (rms * rms * scale - best as f64).max(0.0) as i64
}

/// The solver's name for a position.
pub(crate) fn slot(position: usize) -> Slot {
    Slot::new(u32::try_from(position).unwrap_or(u32::MAX))
}
