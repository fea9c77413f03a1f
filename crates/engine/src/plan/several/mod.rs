//! Several parts of one kind a position, all from one pile: an upper and a lower shell in every journal.
//!
//! Every position takes a bundle, no part twice. Where the roles enter every fit alike a bundle is a set, and which of its
//! parts plays which role follows from the order of the file; else (another column, another factor, a part that is kept in
//! one of the roles) it matters. What a bundle is worth comes from the fits as they are, so that anything they count is
//! counted; bundles that break a limit at their position are not there.
//!
//! Criterion after criterion is searched over all bundles that keep what those before it came to (`stages`), under the limits
//! over all positions: spreads, neighbours, what may be spent (`beside`). A total that only hangs on which parts are used goes set by set
//! (`totals`). Where a search does not come to its end the rest is settled among the parts of one role at a time, those of the
//! others staying where they are (`settle`). Every criterion that was searched to its end has a proof of its own where one is
//! found (`check`).

mod alike;
mod alike_pieces;
mod asked;
mod beside;
mod bundles;
mod check;
mod impossible;
mod near_by;
mod seen;
mod settle;
mod stages;
mod totals;
mod values;

pub(super) use alike::alike;
pub(crate) use bundles::Several;
pub use check::SeveralLevel;
pub(super) use impossible::severally;
