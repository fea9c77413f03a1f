//! How a match is shown: text for a person at the bench, JSON and CSV for other programs.
//!
//! Nothing is decided here. A [`JobReport`](pairwright_engine::outcome::JobReport) says what came
//! of a job; these functions put it into words and columns. The only sums are conversions of units.
//!
//! | function | reader | stable |
//! | --- | --- | --- |
//! | [`match_text`] | a person | no: words and layout may improve |
//! | [`match_json`] | a program | yes, within one `format` number |
//! | [`match_csv`] | a spreadsheet | yes, columns go by their names |

mod caution;
mod comma;
mod json;
mod origin;
mod pile;
mod stopped;
mod style;
mod text;
mod tightest;
mod view;

pub use comma::match_csv;
pub use json::match_json;
pub use pile::{PileView, pile_json};
pub use style::Style;
pub use text::{match_text, pile_text};

#[cfg(test)]
mod tests;
