//! The clearance ledger: what every plan leaves of the clearances that were measured on the mock-up.
//!
//! An entry was read with known parts. [`ledger`] carries it over to the parts that the matches of a job have placed, and
//! says how it stands against its minimum, guard band counted; how much more lift, less gasket or higher piston it would
//! still allow; and which entry stops the engine first for each of these. Matches hold the entries by themselves: each is
//! a limit over a fit of its own (see the rooms `fit::entry` and `plan::entries`).
//!
//! | room | idea |
//! | --- | --- |
//! | `report` | the data |
//! | `carry` | one entry, carried over to a plan |
//! | `room` | how far it may be moved |
//! | `stops` | which entry stops the engine first |
//! | `since` | a changed job, whose readings stay those of the job they were taken in |

mod carry;
mod report;
mod room;
mod since;
mod stops;

pub use carry::ledger;
pub use report::{Carried, Headroom, LedgerReport, Lever, Room, State, Stop, Unheld};
pub use since::as_read_in;
