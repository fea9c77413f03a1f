//! The Pairwright command line as a library: reads files, calls the engine, renders.
//!
//! Everything that decides anything lives below, in `pairwright-engine`; this crate holds what
//! reads a job folder ([`input`]), what points at a mistake in it ([`diagnostic`]), what shows an
//! answer ([`render`]), and the commands that join them.

pub mod args;
mod commands;
pub mod diagnostic;
mod exit;
pub mod input;
mod noun;
pub mod plan_file;
pub mod render;
mod run;
pub mod terminal;

pub use exit::Exit;
pub use run::{run, run_from_environment};
