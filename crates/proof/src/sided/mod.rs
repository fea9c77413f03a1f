//! Proofs under side conditions: trees whose nodes are settled by what follows from the conditions alone.

mod check;
mod limits;
mod proof;
mod settle;
mod text;
mod walk;

pub use check::{check_sided_impossible, check_sided_proof};
pub use proof::{Held, SidedLevel, SidedProof, SidedStep};
pub use text::{parse_sided_proof, write_sided_proof};
