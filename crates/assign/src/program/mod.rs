//! Side conditions as a 0/1 model for a general backend (cargo feature `program`; `microlp` through `good_lp`).
//!
//! For conditions that the search of [`sides`](crate::sides) is long about. The backend reckons in floating point and its
//! word proves nothing: its choice is evaluated again in ticks and held against every rule, a claim that there is no choice is not
//! believed, and only our own bounds say how good the answer is. Pairs that cannot be in a choice better than the one known
//! are dropped before the model is built, which is worth more than any setting of the backend.

mod model;
mod solve;

pub use solve::{ProgramError, ProgramOutcome, Said, solve_program};
