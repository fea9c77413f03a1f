//! Why no arrangement of several items a slot is better, and the check of it.

mod check;
mod field;
mod node;
mod prices;
mod proof;
mod text;
mod walk;

#[cfg(test)]
mod tests;

pub use check::{SeveralProofFault, check_several_impossible, check_several_proof};
pub use proof::{SeveralProof, SeveralStep};
pub use text::{parse_several_proof, write_several_proof};
