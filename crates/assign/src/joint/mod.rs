//! Two kinds of items a slot, chosen together under an outer choice: see [`solve_joint`].

mod alike;
mod any;
mod bar;
mod bits;
mod descend;
mod fields;
mod floors;
mod ground;
mod limits;
mod meter;
mod near;
mod order;
mod outcome;
mod pairing;
mod prices;
mod problem;
mod prove;
mod solve;
mod start;
mod sweep;
mod thick;
mod total;

use crate::budget;

pub use floors::JointFloors;
pub use limits::SumLimit;
pub use order::{FirstJoint, first_joint};
pub use outcome::{JointOutcome, JointShortage, JointSolution, Ties};
pub use prices::{JointPrices, joint_prices};
pub use problem::{JointAim, JointError, JointProblem};
pub use prove::{NoProof, prove_joint, prove_joint_impossible};
pub use solve::solve_joint;
