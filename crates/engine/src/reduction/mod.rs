//! From a job's dial readings to the effects of its pistons and cylinders, and from its pours to the
//! volumes of its chambers.
//!
//! The typed readings get their sign (positive is above the deck), readings of one piston taken on
//! several rods are brought to one of them, and the statistics are done by [`crate::readings`].

mod all;
mod observe;
mod pair;
mod pour;
mod report;
mod rods;
mod run;

pub use all::Reductions;
pub use pair::Pair;
pub(crate) use pour::MOST as MOST_CHAMBERS;
pub use pour::{ChamberOf, ChamberReduction, Poured, PoursReport};
pub use report::ReadingsReport;
pub use run::Reduction;
