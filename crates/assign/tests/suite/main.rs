//! The solver from outside: against enumeration, against laws, against a second method.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

mod brute;
mod chains;
mod joint;
mod laws;
mod shortages;
mod vocabulary;
