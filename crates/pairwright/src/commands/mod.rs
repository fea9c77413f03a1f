//! One file a command: settings, one call, rendering.

mod check;
mod matching;

pub(crate) use check::check;
pub(crate) use matching::match_job;
