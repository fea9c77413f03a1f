//! Reads a job folder: `job.toml` and the CSV files it names become a checked
//! [`Job`](pairwright_engine::job::Job).
//!
//! Everything that is wrong with any file is found in one go and reported with its place.
//!
//! | room | idea |
//! | --- | --- |
//! | `folder`, `text` | which file may be read, and that it is text |
//! | `table`, `sheet`, `header`, `cell`, `grid` | CSV: rows, what a file may hold, what each column is, what each cell says, all values |
//! | `job_file` | the job file, one reader a section |
//! | `positions`, `stock`, `readings`, `chambers` | one file each |
//! | `homes`, `served`, `only`, `once` | which positions a stock goes to and a match serves, and that no two matches want the same |
//! | `kinds`, `part_row` | what a stock may hold, and what a row of it says in words |
//! | `heads`, `mates` | what heads and gaskets ask of the banks; whether mated parts agree |
//! | `misread`, `far_off`, `no_price`, `lash` | slips of the pen: letters for digits, values far off the others, a price forgotten; lift without lash |
//! | `ledger` | clearances measured on the mock-up |
//! | `resolve`, `pins`, `needs` | names to indices; what a match still lacks |
//! | `what_ifs` | what-ifs: their changes, what they stack, where they contradict each other |

mod buying;
mod cell;
mod chambers;
mod declared;
mod far_off;
mod folder;
mod grid;
mod header;
mod heads;
mod homes;
mod job_file;
mod kinds;
mod lash;
mod ledger;
mod load;
mod mates;
mod misread;
mod names;
mod nearest;
mod needs;
mod no_price;
mod once;
mod only;
mod part_row;
mod pins;
mod positions;
mod readings;
mod resolve;
mod roles;
mod served;
mod sheet;
mod stock;
mod table;
mod text;
mod unit_slip;
mod what_ifs;

pub use load::{Loaded, Need, load};

#[cfg(test)]
mod tests;
