//! The clearance ledger: `[[clearance]]` sections of the job file, or a CSV file with the same columns.
//!
//! | room | idea |
//! | --- | --- |
//! | `draft` | an entry as typed, wherever it was typed |
//! | `file` | the CSV file of entries |
//! | `words` | how an entry moves: kinds, surfaces, sensitivities with their units |
//! | `places` | cylinders and valves, parts |
//! | `lacks` | what an entry does not say and has to |
//! | `resolve` | entries to the ledger of the job |

mod draft;
mod file;
mod lacks;
mod places;
mod resolve;
mod words;

pub(super) use draft::{AMOUNTS, EntryDraft, Said, TEXTS};
pub(super) use file::read;
pub(super) use resolve::ledger;
