//! From fits to a plan: the tables, the choice, what it results in.

mod admission;
mod alike;
mod certificate;
mod choose;
mod draws;
mod impossible;
mod layer;
mod question;
mod report;
mod result;
mod spread_band;
mod tables;
mod too_coarse;

pub use certificate::Certificate;
pub use choose::PlanError;
pub use report::{
    Culprit, Estimate, FitValue, Impossible, Interval, Lack, LimitKind, LimitReport, LimitState, Placement, Plan,
    Standing, Stopped, Summary, TooCoarse,
};

pub(crate) use admission::Relaxed;
pub(crate) use choose::{Answer, Chosen, slot};
pub(crate) use impossible::impossible;
pub(crate) use question::Question;
pub(crate) use result::{aim_values, moves, pairs, plan, root_mean_square, scatter, spread};
pub(crate) use tables::{Rank, Tables};
