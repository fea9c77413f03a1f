//! One file a command: settings, one call, rendering; `loading` is what all of them begin with.

mod check;
mod compare;
mod loading;
mod matching;
mod pile;
mod recheck;

pub(crate) use check::check;
pub(crate) use compare::compare;
pub(crate) use matching::match_job;
pub(crate) use pile::pile;
pub(crate) use recheck::recheck;
