//! The whole way from a job to everything said about it.

mod cautions;
mod edge;
mod lacking;
mod recheck;
mod report;
mod run;

pub use lacking::{Lacking, lacking};
pub use recheck::{Rechecked, recheck, recheck_no_plan};
pub use report::{Caution, Earlier, JobReport, MatchReport, Outcome, Planned};

pub use run::match_job;
pub(crate) use run::{Decision, decide, take};
