//! Fits: what results where parts meet a position, one file a fit.
//!
//! A [`Fit`] answers for any [`Seat`]: the predicted value in whole ticks, how well it is known, and
//! how the errors of several seats go together (an error common to all of them cancels in a spread
//! and not in a limit).
//!
//! # What is computed
//! With e the deck clearance (positive above the deck), t the compressed thickness of the gasket and
//! `A = π/4 · bore²` of the cylinder (its own bore, else the engine's):
//!
//! | fit | value | one tick |
//! | --- | --- | --- |
//! | deck | the readings' `h_i + d_j`, plus rod length less that of the rod the piston was read on | 1 nm |
//! | deck, without readings | throw + rod length + compression height − deck height | 1 nm |
//! | `piston_to_head` | `t + recess − e`; the flat faces only | 1 nm |
//! | `clearance_volume` | `chamber + gasket + dish + crevice − A·e`, the gasket measured or `π/4 · gasket bore² · t` | 1e-6 cc |
//! | compression | `(swept + clearance) / clearance`, `swept = A · stroke` (or twice the throw) | 1e-6 |
//! | skirt | bore − piston diameter | 1 nm |
//! | lift | lobe lift × rocker ratio − lash | 1 nm |
//! | mass | the masses of the parts at the position, as far as their stocks have any | 0.1 mg |
//! | declared | `Σ ± times · column`, over measured columns of one dimension | that of the dimension |
//! | an entry of the ledger | the clearance as read, carried over to what is planned (see the file `entry`) | 1 nm |
//!
//! A dome is a negative dish. A chamber poured with the plate on the gasket face contains a recess
//! already; it is not added to the volume again. Swept volume and compression ratio are those of the
//! textbooks (Heywood, Internal Combustion Engine Fundamentals, 1988, chapter 2, from memory); the
//! worked figures that they are checked against stand in the project's list of outside checks.
//!
//! # How well a value is known
//! Every value is a function of measured or typed sizes. A [`Doubt`] is the first-order combination
//! `u² = Σ (∂f/∂x · u_x)²` (JCGM 100:2008, 5.1.2) over the sizes and the read deck clearance, with
//! effective degrees of freedom after Welch and Satterthwaite (G.4.1); two seats share what they have
//! in common, size by size. Against sampling, first order is less than 1 % of u short as
//! long as the clearance volume is known to 4 % of itself.

mod budget;
mod chamber;
mod clearance;
mod compression;
mod cosine;
mod deck;
mod deck_made;
mod deck_read;
mod declared;
mod entry;
mod gasket;
mod gather;
pub mod geometry;
mod given;
mod ingredient;
mod lift;
mod mass;
mod piston_to_head;
mod predict;
mod seat;
mod shift;
mod skirt;
mod source;
mod stroke;
mod wanting;

#[cfg(test)]
mod tests;

pub use budget::{Budget, joint_covariance};
pub(crate) use entry::{Change, Comes, EntryFit, Growth, Movers, Sources, boxed};
pub use gather::fits;
pub(crate) use gather::shifted_fits;
pub use ingredient::{Ingredient, Made};
pub use predict::{Doubt, Fit};
pub use seat::{Cast, Seat};
pub(crate) use shift::Shift;
