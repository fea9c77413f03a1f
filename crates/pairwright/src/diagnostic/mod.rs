//! What is wrong with an input, where exactly, and what to do about it.
//!
//! A [`Diagnostic`] carries data, not a picture: a stable [`Code`], the place of the text it is
//! about, a message, a second place where that helps, one remedy. It is rendered as text
//! ([`render`]) or serialised as JSON; `docs/errors.md` explains every code.

mod code;
mod collector;
mod item;
mod source;
mod text;

pub use code::Code;
pub(crate) use collector::Collector;
pub use item::{Class, Diagnostic, Diagnostics, Label, Severity};
pub use source::{Place, Source, Sources};
pub use text::render;

#[cfg(test)]
mod tests;
