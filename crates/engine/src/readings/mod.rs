//! From gauge readings to the effects of parts and positions.
//!
//! A reading of part i in position j is `y = h_i + d_j + e`: what the part by itself contributes, what the position contributes, and an
//! error. [`reduce`] takes any readings, finds which parts and positions they tie together, and estimates the effects by weighted least
//! squares. [`Effects`] then predicts a part in a position where it was never tried, says how well it knows the value, and what is odd
//! about the readings.
//!
//! **One unit throughout:** every value, gauge figure, bank coordinate apart, and every result is a plain number of nanometres, every
//! variance in nm². The caller converts. Coordinates along a bank may have any unit, the same for the whole bank.
//!
//! # Method
//! - *Cells.* Readings of one part in one position form a cell. Within it, readings at the same spot are repeats; readings at different
//!   spots are not, and the value of the cell is the plain mean over its spots (a piston that rocks reads high at one side and low at the
//!   other; the mean does not care).
//! - *Weights* are the inverse variances of the cells: see [`Repeatability`] for the scatter of one reading and `rounding` for what the
//!   steps of the gauge add.
//! - *Reduction.* The parts are eliminated first (their block of the normal matrix is diagonal), so the matrix left has a row per
//!   position only: O(readings + positions³) time, O(readings + positions²) memory.
//! - *Covariance.* Within a component of tied parts and positions, with the position effects summing to zero, the covariance of the
//!   position effects is the pseudo-inverse of that matrix; those of parts and pairs follow.
//!
//! # References
//! Two-way layout with missing cells: Searle, Linear Models, Wiley 1971, chapter 7 (citation from memory). Rounding and coverage:
//! JCGM 100:2008 (GUM), F.2.2.1 and G.4.

mod cells;
mod components;
mod deleted;
mod effects;
mod error;
mod finding;
mod fit;
mod id;
mod input;
mod linear;
mod repeatability;
mod response;
mod rounding;
mod straight;
mod survey;
mod suspects;
mod untied;

#[cfg(test)]
mod tests;

pub use effects::{Difference, Effects, Pair, Prediction, reduce};
pub use error::ReduceError;
pub use finding::Finding;
pub use id::{BankId, ComponentId, PartId, PositionId};
pub use input::{Deck, Gauge, Reading, Station};
pub use repeatability::{LackOfFit, Repeatability, Source};
pub use response::Response;
pub use untied::{Tie, Untied};
