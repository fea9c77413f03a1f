//! One file a command: settings, one call, rendering.

mod check;
mod compare;
mod matching;
mod pile;
mod recheck;

pub(crate) use check::check;
pub(crate) use compare::compare;
pub(crate) use matching::match_job;
pub(crate) use pile::pile;
pub(crate) use recheck::recheck;
