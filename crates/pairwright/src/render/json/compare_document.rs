//! The types of a comparison that are written as JSON.

use serde::Serialize;

use super::clearances_document::Clearances;
use super::document::{Aim, Impossible, JobEcho, Missing, OutcomeWord, ProofReach, Quantity};
use super::plan_document::Plan;
use super::setting_document::Served;

/// A match as it stands, as it was found, and under every what-if.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(title = "What pairwright says of what-ifs, format 1"))]
pub(crate) struct CompareDocument {
    /// The number of this format: 1.
    pub(crate) format: u32,
    /// The job.
    pub(crate) job: JobEcho,
    /// The match that is compared.
    #[serde(rename = "match")]
    pub(crate) matching: String,
    /// What is wanted of every plan: the aim of the match as it stands.
    pub(crate) aim: Aim,
    /// The engine as its parts stand now; null where the stock does not say.
    pub(crate) as_found: Option<Found>,
    /// The job as it stands.
    pub(crate) as_it_stands: WhatIfRow,
    /// One entry for every what-if asked for, in the order asked for.
    pub(crate) what_ifs: Vec<WhatIfRow>,
}

/// The engine as its parts stand now. Limits may be broken.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Found {
    /// How well it does what is wanted: less is better, but for `highest` aims.
    pub(crate) measure: Option<Quantity>,
    /// Parts, values and limits.
    pub(crate) plan: Plan,
}

/// A job with its changes, planned anew.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct WhatIfRow {
    /// Its name; null for the job as it stands.
    pub(crate) name: Option<String>,
    /// What it stacks.
    pub(crate) with: Vec<String>,
    /// Price of all changes; null where none is stated.
    pub(crate) price: Option<f64>,
    /// What the parts cost that the plan buys; null where nothing has a price.
    pub(crate) parts_price: Option<f64>,
    /// Hours that all changes take; null where none are stated.
    pub(crate) hours: Option<f64>,
    /// Whether there is a plan.
    pub(crate) outcome: OutcomeWord,
    /// Why nothing could be planned, in words; else null.
    pub(crate) reason: Option<String>,
    /// How far the proof reaches that was checked; null where nothing is proven.
    pub(crate) proof: Option<ProofReach>,
    /// How well the plan does what is wanted; null without a plan.
    pub(crate) measure: Option<Quantity>,
    /// How much better that is than the plan as it stands: negative is worse. Null where there is nothing to compare.
    pub(crate) gain: Option<Quantity>,
    /// Whether the gain is smaller than the readings' doubt; null without one.
    pub(crate) below_doubt: Option<bool>,
    /// Whether every limit is held, and enough left of every clearance; null without a plan.
    pub(crate) held: Option<bool>,
    /// It holds everything, and no other plan of the comparison that does is as good for as little money in as few hours, and
    /// better in one of them.
    pub(crate) unbeaten: bool,
    /// Where the plan has other parts than the plan as it stands.
    pub(crate) changed: Vec<Changed>,
    /// Heads and gaskets that serve otherwise than in the plan as it stands.
    pub(crate) changed_settings: Vec<Served>,
    /// The plan; null where there is none.
    pub(crate) plan: Option<Plan>,
    /// What the plan leaves of the clearances of the ledger; null without a ledger or a plan.
    pub(crate) clearances: Option<Clearances>,
    /// Why there is no plan; null where there is one.
    pub(crate) impossible: Option<Impossible>,
    /// What the match still needs before it can be tried.
    pub(crate) missing: Vec<Missing>,
}

/// A place with another part.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Changed {
    /// The kind of part.
    pub(crate) role: String,
    /// The position.
    pub(crate) position: String,
}
