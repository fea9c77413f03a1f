//! The choice: a question's tables to the solver and back, every answer checked.

use pairwright_assign::{Cause, Outcome, Problem, ProblemError, Reason, solve};
use pairwright_proof::{Criterion, Fault, Measure, Slot, TableError, Window, check_choice};

use super::admission::Relaxed;
use super::question::Question;
use super::tables::Tables;
use crate::job::Measured;
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
    /// The readings cannot be reduced.
    #[error("the readings cannot be reduced: {0}")]
    Reduce(#[from] ReduceError),
    /// The independent checker does not accept the solver's answer.
    #[error("the checker refuses the plan: {0}")]
    Refused(#[from] Fault),
}

/// A choice that the checker has accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Chosen {
    /// The part of every position, by index.
    pub(crate) parts: Vec<usize>,
    /// Every criterion's value, in order.
    pub(crate) values: Vec<i128>,
    /// Why the search ended early; `None` where no better choice exists.
    pub(crate) stopped: Option<Reason>,
}

/// The answer to a question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Answer {
    Chosen(Chosen),
    Short(Short),
}

/// Positions that compete for too few parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Short {
    pub(crate) positions: Vec<usize>,
    pub(crate) parts: Vec<usize>,
    pub(crate) cause: Cause,
}

impl Answer {
    pub(crate) fn chosen(self) -> Option<Chosen> {
        match self {
            Self::Chosen(chosen) => Some(chosen),
            Self::Short(_) => None,
        }
    }
}

impl Tables {
    /// Lays out the tables and settles a slack that is stated as a root mean square.
    pub(crate) fn settled(question: &Question<'_>, relaxed: Relaxed) -> Result<Self, PlanError> {
        let mut tables = Self::new(question, relaxed)?;
        let aim = &question.matching.aim;
        if let (Measured::Squares, Some(slack)) = (aim.by, aim.slack) {
            let alone = Self { ranks: tables.ranks[..1].to_vec(), ..tables.clone() };
            if let Answer::Chosen(best) = alone.answer(&alone.problem()?)? {
                tables.ranks[0].slack = squares_slack(&tables, best.values[0], slack.ticks());
            }
        }
        Ok(tables)
    }

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
        Ok(Answer::Chosen(Chosen { parts, values: solution.values, stopped }))
    }
}

/// How much the squares may grow when their root mean square may grow by `slack` ticks.
#[expect(clippy::cast_possible_truncation, reason = "saturates; a slack that large gives everything away")]
fn squares_slack(tables: &Tables, best: i128, slack: i64) -> i64 {
    let positions = tables.of_ticks[0].shape().slots as f64;
    // `SquaresAboutMean` is n² times the mean square, `SquaresFrom` is n times.
    let scale = if tables.ranks[0].measure == Measure::SquaresAboutMean { positions * positions } else { positions };
    let rms = (best as f64 / scale).sqrt() + slack as f64;
    (rms * rms * scale - best as f64).max(0.0) as i64
}

/// The solver's name for a position.
pub(crate) fn slot(position: usize) -> Slot {
    Slot::new(u32::try_from(position).unwrap_or(u32::MAX))
}
