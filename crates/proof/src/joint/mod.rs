//! Two kinds of items a slot, chosen together, under an outer choice.

mod check;
mod choice;
mod measure;
mod proof;
mod scope;
mod statement;
mod text;
mod verify;
mod windows;

pub use check::{JointFault, Side, check_joint};
pub use choice::{JointChoice, Outer};
pub use measure::evaluate_joint;
pub use proof::{JointProof, OuterProof, Segment, Step};
pub use statement::{Beside, Couple, Filled, JointStatement, JointStatementError, Scale};
pub use text::{parse_joint_proof, write_joint_proof};
pub use verify::{JointProofFault, check_joint_impossible, verify_joint, verify_joint_using};
