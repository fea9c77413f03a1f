//! Measured engine parts to fits to plans.
//!
//! Data flows one way: a [`job::Job`] holds what was measured; readings become effects, effects
//! become fits (tables of ticks), a choice is made and becomes a plan, the plan is explained. This
//! crate opens no file and prints nothing.

pub mod clearance;
pub mod explain;
pub mod fit;
pub mod job;
pub mod limit;
pub mod outcome;
pub mod pile;
pub mod plan;
pub mod quantity;
pub mod readings;
pub mod reduction;
pub mod statistics;
pub mod what_if;
