//! The `pairwright` command as a library: reads job folders, calls the engine, renders results.

pub mod diagnostic;
pub mod input;
pub mod render;
