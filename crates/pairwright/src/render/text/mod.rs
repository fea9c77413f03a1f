//! A match in plain words, the answer first.
//!
//! A page is made section by section, a file a section. Each one takes a [`words::Words`] (labels
//! and figures as text) and writes to a [`page::Page`] (wrapping, indents, colour). A section with
//! nothing to say writes nothing.

mod answer;
mod asked;
mod blocks;
mod changes;
mod clearances;
mod compare;
mod compare_clearances;
mod contributions;
mod ends;
mod english;
mod evenness;
mod figure;
mod findings;
mod grid;
mod impossible;
mod left_out;
mod limits;
mod little_more;
mod look_first;
mod missing;
mod other_settings;
mod others;
mod page;
mod pile;
mod placements;
mod pours;
mod price;
mod readings;
mod remedy;
mod rooms;
mod runner_up;
mod selection;
mod settings;
mod shopping;
mod steps;
mod whole;
mod words;
mod wrap;

pub use clearances::headroom_text;
pub use compare::compare_text;
pub use pile::pile_text;
pub use whole::match_text;
