//! Why no arrangement of several items a slot is better, and the check of it.

mod check;
mod field;
mod limit;
mod node;
mod prices;
mod proof;
mod text;
mod walk;

#[cfg(test)]
mod tests;

pub use check::{
    SeveralProofFault, check_bundles_within, check_several_impossible, check_several_impossible_within,
    check_several_proof, check_several_proof_within,
};
pub use limit::{SeveralLimit, SeveralRule};
pub use proof::{SeveralProof, SeveralStep};
pub use text::{parse_several_proof, write_several_proof};
