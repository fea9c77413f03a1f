//! Two kinds of items a slot, chosen together, under an outer choice.

mod check;
mod choice;
mod measure;
mod statement;

pub use check::{JointFault, Side, check_joint};
pub use choice::{JointChoice, Outer};
pub use measure::evaluate_joint;
pub use statement::{Couple, JointStatement, JointStatementError, Scale};
