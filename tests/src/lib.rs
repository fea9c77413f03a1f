//! Checks of Pairwright against things outside the project: what those checks share.
//!
//! Nothing here is used by the product. [`mod@derive`] derives the fits a second time, from the raw
//! job and by other means; [`brute`] tries every assignment; [`build`] makes small jobs in memory, [`mod@no_plan`] bends proofs that there is no plan, [`whole_engine`] those with all kinds of parts.

pub mod brute;
pub mod build;
pub mod derive;
pub mod folder;
pub mod no_plan;
pub mod whole_engine;
