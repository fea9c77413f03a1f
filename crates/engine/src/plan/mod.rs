//! From fits to a plan: the tables, the choice, what it results in.

mod report;

pub use report::{
    Caution, Culprit, Estimate, FitValue, Impossible, Interval, JobReport, Lack, LimitKind, LimitReport, LimitState,
    MatchReport, Outcome, Placement, Plan, Planned, Standing, Summary, TooCoarse,
};
