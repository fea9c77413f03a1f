//! What-ifs: a job with named changes, planned anew and laid beside the job as it stands.
//!
//! A what-if changes the [`Job`](crate::job::Job) as an edit of its files would, and the changed job is matched like any
//! other: nothing of the old plan is kept. Readings are reduced once: what is cut from a deck or a crown moves what they
//! predict (see [`Machined`](crate::job::Machined)), and what they doubt stays as it is.
//!
//! | room | idea |
//! | --- | --- |
//! | `clash` | changes that contradict each other |
//! | `apply` | a job and changes to the changed job |
//! | `square` | what squaring a deck takes off at every cylinder |
//! | `judge` | one number for how well a plan does what is wanted |
//! | `compare` | the job as it stands and every what-if, planned |
//! | `differs` | where one plan differs from another |

mod apply;
mod clash;
mod compare;
mod differs;
mod judge;
mod report;
mod square;

pub use apply::{NotApplied, deck_cut};
pub use clash::{Kinds, clash, repeats};
pub use compare::{CompareError, compare};
pub use report::{Comparison, Differs, Gained, Judged, Row, RowOutcome, RowPlan};
