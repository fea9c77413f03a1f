//! The solver from outside: against enumeration, against laws, against a second method.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

mod brute;
mod budgets;
mod chains;
#[path = "../../src/jobs.rs"]
mod jobs;
mod joint;
mod laws;
mod near_to;
mod practical;
mod prices;
mod proofs;
mod rankings;
mod rankings_textbook;
mod several;
mod several_limits;
mod several_proofs;
mod shortages;
mod sides;
mod sides_edges;
mod sides_proofs;
mod smallest;
mod stable;
mod totals;
mod vocabulary;
