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
//!
//! What-ifs side by side ([`CompareView`]) have the same three, what more parts would do ([`PileView`]) has two.

mod caution;
mod comma;
mod comma_compare;
mod compare;
mod json;
mod origin;
mod pile;
mod stopped;
mod style;
mod text;
mod tightest;
mod view;

pub use comma::match_csv;
pub use comma_compare::compare_csv;
pub use compare::{CompareView, Order};
pub use json::{compare_json, match_json};
pub use pile::{PileView, pile_json};
pub use style::Style;
pub use text::{compare_text, headroom_text, match_text, pile_text};

#[cfg(test)]
mod tests;
