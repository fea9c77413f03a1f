//! All choices in the order of a chain, as many as are asked for.
//!
//! The choices still to come are divided into parts: for the best one of a part, each slot in turn keeps the items of the
//! slots before it and gives up its own (Murty 1968). A part is looked at only when its bound comes up.
//!
//! Where the first criterion is a sum and there are neither windows nor items that must be used, a part inherits the prices
//! of the choice that it was divided from (`inherit`): giving up one pair is one shortest way in what pairs cost beyond the
//! prices (`give_up`), bounded from below by its first and its last step (`bounds`), and of the choices without excess the best
//! by all else is found when it is its turn (`settle`). Elsewhere every part is solved anew (`anew`).
//!
//! # References
//! - K. G. Murty, *An algorithm for ranking all the assignments in order of increasing cost*, Oper. Res. 16 (1968).
//! - M. L. Miller, H. S. Stone and I. J. Cox, *Optimizing Murty's ranked assignment method*, IEEE Trans. Aerosp. Electron.
//!   Syst. 33 (1997): prices that are inherited; bounds first, solves when they come up.

mod anew;
mod bounds;
mod choices;
mod costs;
mod give_up;
mod held;
mod inherit;
mod other_items;
mod rank;
mod settle;
#[cfg(test)]
mod tests;

pub use choices::{RankError, Ranked, ranked};
pub use other_items::{OtherItems, other_items};
