//! Several parts of one kind a position, all from one pile: an upper and a lower shell in every journal.
//!
//! Every position takes a bundle, no part twice. Where the roles enter every fit alike a bundle is a set, and which of its
//! parts plays which role follows from the order of the file; else (another column, another factor, a part that is kept in
//! one of the roles) it matters. What a bundle is worth comes from the fits as they are, so that anything they count is
//! counted; bundles that break a limit at their position are not there.
//!
//! The aim is solved exactly over all bundles and proven (`pairwright_assign::several`); a total that only hangs on which parts
//! are used, set by set (`totals`). Of what comes after it least spread
//! and least squares are searched over all bundles, too, wherever the aim leaves a range of values (`stages`); everything
//! else (moves, prices, other fits) is settled among the parts of one role at a time, those of the others staying where they
//! are (`settle`).

mod alike;
mod asked;
mod bundles;
mod check;
mod impossible;
mod near_by;
mod settle;
mod stages;
mod totals;

pub(super) use alike::alike;
pub(crate) use bundles::Several;
pub(super) use impossible::severally;
