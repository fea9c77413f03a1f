//! From a job's dial readings to the effects of its pistons and cylinders.
//!
//! The typed readings get their sign (positive is above the deck), readings taken on another rod
//! are brought to the control rod, and the statistics are done by [`crate::readings`].

mod all;
mod observe;
mod report;
mod run;

pub use all::Reductions;
pub use report::ReadingsReport;
pub use run::Reduction;
