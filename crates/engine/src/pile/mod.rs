//! How big a pile is worth having: what more parts would do for an aim.
//!
//! A [`Pile`] is a stock of measured parts, each known by a few numbers, the positions they go to, and what is sought. From
//! the stock it learns what parts are like ([`Population`]), draws further ones, chooses from all of them anew, and says what that
//! gains ([`Pile::outlook`]) and how many parts a wish would take ([`Pile::needs`]).
//!
//! # Method
//! - *What parts are like.* The test of Shapiro and Francia says whether the stock looks normal. If so (or with too few parts to tell):
//!   a normal distribution whose mean and scatter are themselves drawn, as the stock leaves them open. If not: a smoothed bootstrap, which
//!   draws around measured parts. Plain resampling would never draw a part better than the best one measured, so it is not used.
//! - *What counts is the measured value.* Drawn parts are like measured ones, errors of measurement included: the stock's scatter holds
//!   them already.
//! - *One future after the other.* A future is a row of parts, one drawn after the other; N more parts are its first N. So more
//!   parts are never worse within a future, and the expectation never gets worse with N.
//! - *Where parts add the same everywhere* and a total is sought, the expectation of the normal model is integrated, not drawn.
//!
//! - *What counts before the aim* (price, pieces bought, moves) is gained first; the aim is then the best among those that are best by it, and
//!   may be worse than now. More parts are never worse by the criteria in order.
//!
//! Everything is in ticks of the fit; same seed, same numbers.

mod affine;
mod bundled;
mod buying;
mod couples;
mod enough;
mod error;
mod expect;
mod fitting;
mod found;
mod futures;
mod guarded;
mod held;
mod joint;
mod kernel;
mod learned;
mod lines;
mod normality;
mod numbers;
mod of_bundles;
mod of_couples;
mod of_match;
mod order_statistics;
mod population;
mod report;
mod sieve;
mod solve;
mod sought;
mod stock;
mod tables;
mod together;
mod topped_up;

#[cfg(test)]
mod tests;

pub use couples::Couples;
pub use error::PileError;
pub use fitting::{Fitting, Line};
pub use found::Worth;
pub use learned::Learned;
pub use normality::{Normality, shapiro_francia};
pub use numbers::Numbers;
pub use of_match::{Gathered, MatchPile, NotReady, PileOfMatch, pile_of_match};
pub use order_statistics::NormalSample;
pub use population::{Judged, Model, Population, Scatter};
pub use report::{Gained, How, Need, Needs, Outlook, Step};
pub use sought::Sought;
pub use stock::{Drawing, Pile};
pub use together::Together;
