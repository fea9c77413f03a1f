//! A match, or a comparison of what-ifs, as JSON, format 1.
//!
//! [`document`] and its neighbours hold the types that are written, with what every key means; the
//! schema in `docs/match.schema.json` comes from them and a test keeps the two together. The other
//! files fill them in.

mod clearances;
mod clearances_document;
mod compare;
mod compare_document;
mod document;
mod explanation;
mod explanation_document;
mod no_plan;
mod pile_document;
mod placed;
mod plan_document;
mod pours;
mod pours_document;
mod readings;
mod readings_document;
mod selection;
mod setting;
mod setting_document;
mod values;
mod whole;

pub use compare::compare_json;
pub(super) use placed::kind;
pub use whole::match_json;

#[cfg(test)]
pub(super) use compare_document::CompareDocument;
#[cfg(test)]
pub(super) use document::Document;
pub(super) use pile_document::{
    BeforeStep, BeforeWord, CountsBefore, ModelWord, Outlying, PileDocument, PileStep, ToReach,
};
