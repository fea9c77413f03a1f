//! The types that are written as JSON, format 1.
//!
//! Values are in the job's units and carry their unit; deck clearance is positive above the deck.
//! `value` is the shortest decimal that reads back as the nearest double to the value in ticks
//! (1 nm, 0.1 mg), so nothing is rounded below the tick. Parts and positions go by their labels.
//! Keys may be added within a format number; none is taken away or changes its meaning.

use serde::Serialize;

use super::clearances_document::{Clearances, LittleMore};
use super::explanation_document::{AsFound, Ends, FlaggedOut, ForcedIn, Other, RoleSteps, RunnerUp, Selection, Step};
use super::plan_document::Plan;
use super::pours_document::Pours;
use super::readings_document::Readings;
use super::setting_document::{Contribution, OtherSetting, Served};

/// What came of the matches of one job.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(title = "What pairwright says of a match, format 1"))]
pub(crate) struct Document {
    /// The number of this format: 1.
    pub(crate) format: u32,
    /// The job.
    pub(crate) job: JobEcho,
    /// What the readings say about themselves; null where the job has none.
    pub(crate) readings: Option<Readings>,
    /// What the pours of chambers say about themselves; null where the job has none.
    pub(crate) pours: Option<Pours>,
    /// One entry for every match asked for, in the order of the job.
    pub(crate) matches: Vec<Match>,
    /// What the plans leave of the clearances of the ledger; null where the job has none.
    pub(crate) clearances: Option<Clearances>,
    /// Cautions that apply, as sentences.
    pub(crate) cautions: Vec<String>,
}

/// What the job says about itself.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct JobEcho {
    /// Title as typed.
    pub(crate) title: String,
    /// The length unit: `in`, `mm`, `thou` or `um`.
    pub(crate) units: String,
    /// Risk that a true value lies beyond a limit that is called held, per limit and position.
    pub(crate) risk: f64,
    /// Seed of the draws.
    pub(crate) seed: u64,
}

/// A value with its unit.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Quantity {
    /// The number.
    pub(crate) value: f64,
    /// Its unit.
    pub(crate) unit: String,
}

/// One match.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Match {
    /// Its name.
    pub(crate) name: String,
    /// Matches before it that have a plan, and took their parts first.
    pub(crate) after: Vec<String>,
    /// The kinds that the match places.
    pub(crate) place: Vec<Role>,
    /// The kind that `left_out`, `runners_up`, `forced_in`, `steps` and any `parts` but those of a placement are
    /// of; null where the match places heads or gaskets only, and these are empty then.
    pub(crate) kind: Option<String>,
    /// What was asked for.
    pub(crate) aim: Aim,
    /// Whether there is a plan.
    pub(crate) outcome: OutcomeWord,
    /// Why a plan that is only the best found is not proven; else null.
    pub(crate) reason: Option<String>,
    /// How far the proof reaches that was checked; null where nothing is proven.
    pub(crate) proof: Option<ProofReach>,
    /// The plan's own keys; null or empty without a plan that holds every limit.
    #[serde(flatten)]
    pub(crate) plan: Plan,
    /// The engine as its parts stand now; null where the stock does not say.
    pub(crate) as_found: Option<AsFound>,
    /// What sets the spread; null where it is zero, and without a plan.
    pub(crate) ends: Option<Ends>,
    /// The best plan with another part in a position, one entry a position.
    pub(crate) runners_up: Vec<RunnerUp>,
    /// What forcing a part left out into the engine would cost, dearest last; of many parts only some.
    pub(crate) forced_in: Vec<ForcedIn>,
    /// Other plans that differ in substance.
    pub(crate) others: Vec<Other>,
    /// How the parts came out of their pile; null where fewer stay out than are placed.
    pub(crate) selection: Option<Selection>,
    /// What other heads, and other gaskets, would cost.
    pub(crate) other_settings: Vec<OtherSetting>,
    /// What leaves the values uneven, the largest share first; empty for a fit that is made of one thing only.
    pub(crate) contributions: Vec<Contribution>,
    /// What a little more of gasket, deck clearance and chamber would do to the plan as it stands, nothing chosen anew;
    /// without those that would do nothing.
    pub(crate) little_more: Vec<LittleMore>,
    /// The plan without each reading that disagrees with the others.
    pub(crate) flagged_out: Vec<FlaggedOut>,
    /// What to carry where, as chains: each step takes the place that the next one has to leave.
    pub(crate) steps: Vec<Vec<Step>>,
    /// The same of every other kind of which parts move.
    pub(crate) other_steps: Vec<RoleSteps>,
    /// Why there is no plan; null where there is one.
    pub(crate) impossible: Option<Impossible>,
    /// The plan that holds every limit only if the readings are taken at face value: not a plan to
    /// build. Null where there is none, or a better one.
    pub(crate) nominal_plan: Option<Plan>,
    /// What the match still needs before it can be tried.
    pub(crate) missing: Vec<Missing>,
}

/// A kind that a match places.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Role {
    /// What the part is called in its place: its kind, or the name that `as` gives it.
    pub(crate) role: String,
    /// What takes one part of it: a `position`, a `bank` or the `engine`.
    pub(crate) scope: &'static str,
}

/// Whether there is a plan, and how sure it is.
#[derive(Clone, Copy, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) enum OutcomeWord {
    /// No other choice is better.
    #[serde(rename = "proven")]
    Proven,
    /// A plan, but better ones are not ruled out.
    #[serde(rename = "best found")]
    BestFound,
    /// No plan holds every limit.
    #[serde(rename = "impossible")]
    Impossible,
    /// The search ended before it found a plan; there may be one.
    #[serde(rename = "not found")]
    NotFound,
    /// Something is missing that the match needs.
    #[serde(rename = "missing")]
    Missing,
}

/// How far a proof reaches that was checked without solving.
#[derive(Clone, Copy, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct ProofReach {
    /// So many criteria, the aim first.
    pub(crate) levels: usize,
    /// The number of criteria.
    pub(crate) of: usize,
    /// So many no other choice is better by: those beyond the proof by the word of a search that went through
    /// everything.
    pub(crate) settled: usize,
}

/// What was asked for.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Aim {
    /// The fit.
    pub(crate) fit: String,
    /// `even`, `near`, `highest` or `lowest`.
    pub(crate) goal: &'static str,
    /// How it is judged: `spread`, `worst`, `squares`, `total` or `extreme`.
    pub(crate) by: &'static str,
    /// The value to be near to; else null.
    pub(crate) target: Option<Quantity>,
    /// How much the aim may give for what comes next; else null.
    pub(crate) slack: Option<Quantity>,
    /// What counts before the aim, in order: `price`, `bought` or `moves`.
    pub(crate) first: Vec<&'static str>,
    /// The greatest sum that may be spent, in the currency of the prices; else null.
    pub(crate) spend: Option<f64>,
}

/// Why there is no plan.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Impossible {
    /// The heads and gaskets that come nearest to a plan; the rest is said of them. Empty where the match places
    /// none, and where it is said of all of them.
    pub(crate) settings: Vec<Served>,
    /// Positions that compete for too few parts; none can be left out of the argument.
    pub(crate) positions: Vec<String>,
    /// The parts they compete for.
    pub(crate) parts: Vec<String>,
    /// What keeps other parts out.
    pub(crate) culprits: Vec<Culprit>,
    /// How far the proof reaches that was checked: of so many settings of heads and gaskets none is left open.
    pub(crate) proof: NoPlanReach,
    /// Limits that the readings are too coarse to decide.
    pub(crate) too_coarse: Vec<TooCoarse>,
}

/// How far a proof reaches that there is no plan, checked without solving.
#[derive(Clone, Copy, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct NoPlanReach {
    /// So many ways to set heads and gaskets are proven to have no plan; of the others the search alone says so.
    pub(crate) settings: usize,
    /// The number of ways; 1 where the match places neither.
    pub(crate) of: usize,
}

/// What keeps other parts out.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(tag = "what", rename_all = "snake_case")]
pub(crate) enum Culprit {
    /// A limit.
    Limit {
        /// The fit.
        fit: String,
        /// `min`, `max`, `spread` or `neighbours`.
        kind: &'static str,
        /// How far the bound would have to move outward, with nothing else changed; null where that
        /// is not enough.
        enough: Option<Quantity>,
        /// The heads and gaskets with which that is enough; empty where the match places none.
        settings: Vec<Served>,
    },
    /// What may be spent.
    Spend {
        /// The least that a plan within the limits costs, in the currency of the prices.
        least: f64,
    },
    /// `keep` and `bar` of the match.
    KeepOrBar,
    /// The `fits` column of the stock.
    Fits,
    /// Readings that do not tie parts and positions together.
    Untied,
}

/// A least and a greatest value closer together than their guard bands.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct TooCoarse {
    /// The fit.
    pub(crate) fit: String,
    /// The position.
    pub(crate) position: String,
    /// Room between the two.
    pub(crate) room: f64,
    /// Both guard bands together, at their smallest over the parts.
    pub(crate) bands: f64,
    /// The unit of `room` and `bands`.
    pub(crate) unit: String,
    /// How many times as many readings would do; null where repeats alone would not.
    pub(crate) repeats: Option<u32>,
}

/// Something that the match needs and the job does not say.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Missing {
    /// The fit that needs it.
    pub(crate) fit: String,
    /// In plain words.
    pub(crate) what: String,
}
