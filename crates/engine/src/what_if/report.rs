//! The data of a comparison. Values are ticks of the fit they are of.

use super::NotApplied;
use crate::clearance::{Carried, LedgerReport, State};
use crate::job::{FitName, Goal, Job, Measured};
use crate::plan::{Impossible, Lack, LimitState, Plan, Served, Standing};

/// A match as it stands, as it was found, and under every what-if.
#[derive(Debug)]
pub struct Comparison {
    /// Index of the match that is compared.
    pub matching: usize,
    /// The engine as its parts stand now; `None` unless the stock says where enough parts stand.
    pub as_found: Option<Box<Plan>>,
    /// How well that does what is wanted.
    pub found: Option<Judged>,
    /// The job as it stands.
    pub stands: Row,
    /// The what-ifs asked for, in the order of the job.
    pub rows: Vec<Row>,
}

/// One job of a comparison.
#[derive(Debug)]
pub struct Row {
    /// Index of the what-if; `None` for the job as it stands.
    pub what_if: Option<usize>,
    /// The job with its changes: labels of parts are looked up here.
    pub job: Box<Job>,
    /// Price of all changes in its stack, in ticks, the parts that its plan buys not among them; `None` where none of them
    /// states one.
    pub price: Option<i64>,
    /// Hours that they take, in ticks; `None` where none of them states any.
    pub hours: Option<i64>,
    /// Plan or no plan.
    pub outcome: RowOutcome,
    /// It holds every limit and clearance, and no other plan of the comparison that does is as good for as little money in as
    /// few hours, and better in one of the three.
    pub unbeaten: bool,
}

impl Row {
    /// What the parts cost that its plan buys, in ticks; `None` without a plan, or where nothing has a price.
    #[must_use]
    pub fn parts(&self) -> Option<i64> {
        match &self.outcome {
            RowOutcome::Planned(planned) => planned.plan.shopping.as_ref().map(|shopping| shopping.total),
            _ => None,
        }
    }

    /// The price of its changes and of the parts that its plan buys together; `None` where neither is known.
    #[must_use]
    pub fn money(&self) -> Option<i64> {
        let parts = self.parts();
        if self.price.is_none() && parts.is_none() {
            return None;
        }
        Some(self.price.unwrap_or(0) + parts.unwrap_or(0))
    }
}

/// What came of planning one job of a comparison.
#[derive(Debug)]
pub enum RowOutcome {
    /// A plan that holds every limit.
    Planned(Box<RowPlan>),
    /// No plan holds every limit.
    Impossible(Box<Impossible>),
    /// The search ended before it found a plan.
    Undecided,
    /// The match cannot even be tried.
    Missing(Vec<Lack>),
    /// An earlier match, by index, has no plan: which parts are left is not known.
    Earlier(usize),
    /// The changes cannot be made.
    NotApplied(NotApplied),
}

/// The plan of a row.
#[derive(Debug)]
pub struct RowPlan {
    /// How sure it is that no other is better.
    pub standing: Standing,
    /// The plan.
    pub plan: Plan,
    /// How well it does what the match as it stands wants; `None` where it leaves the fit unknown somewhere.
    pub judged: Option<Judged>,
    /// What that gains on the plan as it stands; `None` for that plan itself, and where it has none.
    pub gained: Option<Gained>,
    /// Where it differs from the plan as it stands.
    pub differs: Option<Differs>,
    /// What it leaves of the clearances of the ledger; `None` where the job has none.
    pub ledger: Option<LedgerReport>,
}

impl RowPlan {
    /// Whether it holds every limit, and leaves enough of every clearance of the ledger: one that has to be measured again
    /// is not held.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.plan.limits.iter().all(|limit| limit.state == LimitState::Held) && self.unheld().next().is_none()
    }

    /// The clearances of the ledger that are not held.
    pub fn unheld(&self) -> impl Iterator<Item = &Carried> {
        let entries = self.ledger.iter().flat_map(|ledger| &ledger.entries);
        entries.filter(|carried| carried.state != State::Held)
    }
}

/// How well a plan does what a match wants, by one number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judged {
    /// The fit.
    pub fit: FitName,
    /// The direction.
    pub goal: Goal,
    /// What is measured.
    pub by: Measured,
    /// The measure, in ticks of the fit.
    pub value: f64,
}

/// A gain and whether it can be believed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gained {
    /// So much better by the measure, in ticks; negative is worse.
    pub by: f64,
    /// It is smaller than the doubt of the expected true spread of either plan.
    pub below_doubt: bool,
}

/// Where a plan differs from the plan as it stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Differs {
    /// Places with another part: the role in `place`, then the index of the position.
    pub placed: Vec<(usize, usize)>,
    /// Heads and gaskets that serve otherwise, as they serve now.
    pub served: Vec<Served>,
}

impl Differs {
    /// Whether it is the same plan.
    #[must_use]
    pub fn nowhere(&self) -> bool {
        self.placed.is_empty() && self.served.is_empty()
    }
}

impl Judged {
    /// The measure as something to make small.
    #[must_use]
    pub fn cost(&self) -> f64 {
        if matches!(self.goal, Goal::Highest) { -self.value } else { self.value }
    }
}
