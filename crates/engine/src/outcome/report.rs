//! The data of everything said about a job.

use crate::clearance::LedgerReport;
use crate::explain::Explanation;
use crate::plan::{Certificate, Impossible, Lack, Plan, Standing};
use crate::reduction::{PoursReport, ReadingsReport};

/// What came of a whole job.
#[derive(Clone, Debug)]
pub struct JobReport {
    /// What the readings themselves say, where the job has any.
    pub readings: Option<ReadingsReport>,
    /// What the pours of chambers say about themselves, where the job has any.
    pub pours: Option<PoursReport>,
    /// Matches before the only one asked for, which have the first choice of the parts; empty where all are asked for.
    pub before: Vec<Earlier>,
    /// One report for every match asked for, in the order of the job.
    pub matches: Vec<MatchReport>,
    /// What the plans leave of the clearances of the ledger; `None` where the job has none.
    pub ledger: Option<LedgerReport>,
    /// The short cautions that apply.
    pub cautions: Vec<Caution>,
}

/// A match that was planned for the parts it takes.
#[derive(Clone, Debug)]
pub struct Earlier {
    /// Index into the job's matches.
    pub index: usize,
    /// Its plan with its proof.
    pub certificate: Certificate,
}

/// What came of one match.
#[derive(Clone, Debug)]
pub struct MatchReport {
    /// Index into the job's matches.
    pub index: usize,
    /// Plan or no plan.
    pub outcome: Outcome,
}

/// Whether there is a plan.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// A plan that holds every limit.
    Planned(Box<Planned>),
    /// No plan holds every limit.
    Impossible(Box<Impossible>),
    /// The search ended before it found a plan; there may be one.
    Undecided,
    /// The match cannot even be tried.
    Missing(Vec<Lack>),
}

/// A plan with everything said about it.
#[derive(Clone, Debug)]
pub struct Planned {
    /// Proven, or the best found.
    pub standing: Standing,
    /// The plan.
    pub plan: Plan,
    /// What it takes to check it without solving.
    pub certificate: Certificate,
    /// Why this plan.
    pub explanation: Explanation,
}

/// A caution that applies to what was printed (design of the safety words: short, plain).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// Predictions come from the readings given.
    FromReadings,
    /// Check piston-to-head and piston-to-valve on the mock-up and turn the engine over by hand.
    MockUp,
    /// Check what is predicted on the assembled engine before it runs.
    TryAgain,
    /// Piston-to-head clearance is between flat faces: domes and valve pockets are not covered.
    FlatClearance,
    /// Pistons have domes: how near they come to the chamber has to be checked with clay.
    Domes,
    /// A piston may stand above the deck, close to the edge of its gasket.
    GasketEdge,
    /// Clearances that were carried over from a reading have to be measured again on the mock-up.
    CarriedOver,
    /// Heads are placed, and some clearances do not say with which one they were read.
    UnknownHead,
    /// Where valves lift further, their way to the piston, the springs and the guides have to be checked.
    MoreLift,
    /// Limits must contain rod stretch, piston rock and heat.
    RunningClearance,
    /// Measure parts and block at one temperature.
    OneTemperature,
    /// Changed masses need the crank balanced again.
    Balance,
    /// Pistons honed to their bores stay with them.
    HonedBores,
    /// Mated parts stay together.
    MatedParts,
    /// The manufacturer's figures, the class rules and local codes go first.
    FiguresFirst,
}
