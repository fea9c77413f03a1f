//! The types of an explanation that are written as JSON. Values are those of the aim's fit.

use std::collections::BTreeMap;

use serde::Serialize;

use super::document::Quantity;
use super::plan_document::Limit;
use super::setting_document::Served;

/// The engine as its parts stand now.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct AsFound {
    /// Spread of the aim's fit as found.
    pub(crate) value: f64,
    /// Its unit, and that of `gain` and `values`.
    pub(crate) unit: String,
    /// How much less the plan's predicted spread is; negative where it is more.
    pub(crate) gain: f64,
    /// The gain is smaller than the readings' doubt about the spread.
    pub(crate) below_doubt: bool,
    /// The part at every position.
    pub(crate) parts: BTreeMap<String, String>,
    /// By kind the same for the kind that is chosen a position beside it, such as rods; by name for the further parts of one
    /// kind; else empty.
    pub(crate) other_parts: BTreeMap<String, BTreeMap<String, String>>,
    /// Heads and gaskets as they stand.
    pub(crate) settings: Vec<Served>,
    /// The aim's fit at every position.
    pub(crate) values: BTreeMap<String, f64>,
    /// How every limit of the match fares there.
    pub(crate) limits: Vec<Limit>,
}

/// What sets the spread.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Ends {
    /// The smallest value, and why it cannot rise.
    pub(crate) low: End,
    /// The largest value, and why it cannot fall.
    pub(crate) high: End,
}

/// One end of the spread.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct End {
    /// The position.
    pub(crate) position: String,
    /// The value there.
    pub(crate) value: f64,
    /// Its unit.
    pub(crate) unit: String,
    /// Why it cannot move inward while the other end stays.
    pub(crate) because: Because,
}

/// Why an end cannot move inward.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(tag = "what", rename_all = "snake_case")]
pub(crate) enum Because {
    /// These positions would compete for these parts alone.
    Competing {
        /// The positions.
        positions: Vec<String>,
        /// The parts.
        parts: Vec<String>,
    },
    /// A limit on the spread of another fit stands in the way.
    OtherSpread,
    /// It could, at the cost of what is asked for first.
    Outranked,
    /// The search ended before that was found out.
    Undecided,
}

/// What an alternative costs against the plan.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Price {
    /// More spread.
    pub(crate) spread: f64,
    /// More root mean square deviation from the mean.
    pub(crate) scatter: f64,
    /// How much worse the aim itself is where it is neither of these.
    pub(crate) aim: f64,
    /// The unit of these three.
    pub(crate) unit: String,
    /// More money to spend, in the currency of the prices.
    pub(crate) money: f64,
    /// The price is smaller than the readings' doubt.
    pub(crate) below_doubt: bool,
    /// What of it may be less, because a search ended before it was through.
    pub(crate) at_most: AtMost,
}

/// What of a price may be less.
#[derive(Clone, Copy, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub(crate) enum AtMost {
    /// Nothing: no plan costs less.
    Nothing,
    /// Only what comes after the aim.
    AfterTheAim,
    /// All of it.
    All,
}

/// The best plan under a condition.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Alternative {
    /// The part at every position.
    pub(crate) parts: BTreeMap<String, String>,
    /// By kind the same for the kind that is chosen a position beside it, such as rods; by name for the further parts of one
    /// kind; else empty.
    pub(crate) other_parts: BTreeMap<String, BTreeMap<String, String>>,
    /// Its heads and gaskets; empty where the match places none.
    pub(crate) settings: Vec<Served>,
    /// What it costs.
    pub(crate) price: Price,
}

/// The best plan with another part in a position.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct RunnerUp {
    /// The position.
    pub(crate) position: String,
    /// The part it would take; null where no plan within the limits has another.
    pub(crate) part: Option<String>,
    /// That plan; null where there is none.
    pub(crate) plan: Option<Alternative>,
    /// What the cheapest such plan within the limits costs, in the currency of the prices, where that is more than may be
    /// spent and so none is there; else null.
    pub(crate) least_price: Option<f64>,
    /// The search ended before a plan was found; there may be one.
    pub(crate) undecided: bool,
}

/// The best plan that uses a part left out.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct ForcedIn {
    /// The part.
    pub(crate) part: String,
    /// That plan; null where no plan within the limits has it.
    pub(crate) plan: Option<Alternative>,
    /// What the cheapest such plan within the limits costs, in the currency of the prices, where that is more than may be
    /// spent and so none is there; else null.
    pub(crate) least_price: Option<f64>,
    /// The search ended before a plan was found; there may be one.
    pub(crate) undecided: bool,
}

/// A plan that differs in substance.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(tag = "what", rename_all = "snake_case")]
pub(crate) enum Other {
    /// The best with another set of parts left out.
    OtherParts {
        /// The part of the plan that it leaves out; null where there is no such plan.
        without: Option<String>,
        /// That plan; null where there is none.
        plan: Option<Alternative>,
        /// What the cheapest such plan within the limits costs, in the currency of the prices, where that is more than may
        /// be spent and so none is there; else null.
        least_price: Option<f64>,
    },
    /// As good by the aim with fewer moves.
    FewestMoves {
        /// How many parts it moves.
        moves: usize,
        /// How many the plan itself moves.
        plan_moves: usize,
        /// That plan; null where there is none.
        plan: Option<Alternative>,
    },
}

/// The plan as it would be without a reading that disagrees.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct FlaggedOut {
    /// The file of readings, or of pours.
    pub(crate) file: String,
    /// Whether the plan without them is the plan itself.
    pub(crate) same_plan: bool,
    /// Its lines that are left out together.
    pub(crate) lines: Vec<u32>,
    /// The part at every position; null where there is then no plan.
    pub(crate) parts: Option<BTreeMap<String, String>>,
    /// By kind the same for rods beside the pistons; empty where none are placed.
    pub(crate) other_parts: BTreeMap<String, BTreeMap<String, String>>,
    /// The search ended before a plan was found; there may be one.
    pub(crate) undecided: bool,
    /// Heads and gaskets of that plan; empty without a plan, and where the match places none.
    pub(crate) settings: Vec<Served>,
    /// Spread of that plan by the readings that remain; null without a plan.
    pub(crate) spread: Option<Quantity>,
    /// Positions whose part differs from the plan.
    pub(crate) changed: Vec<String>,
}

/// One part to carry.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Step {
    /// The part.
    pub(crate) part: String,
    /// Where it stands now; null is the shelf.
    pub(crate) from: Option<String>,
    /// Where it goes; null is the shelf.
    pub(crate) to: Option<String>,
}

/// What to carry where of one kind.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct RoleSteps {
    /// The kind.
    pub(crate) role: String,
    /// The chains of moves; places are banks where the kind serves banks.
    pub(crate) steps: Vec<Vec<Step>>,
}

/// How the parts came out of their pile.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Selection {
    /// How many parts the match could use.
    pub(crate) of: usize,
    /// How many of them it places.
    pub(crate) placed: usize,
    /// The part that gains least and what comes in its stead; null where there is no such plan.
    pub(crate) edge: Option<Edge>,
    /// Every position by itself, all else staying as it is; empty for an even aim.
    pub(crate) positions: Vec<Contest>,
    /// Parts that break a limit on the aim's fit wherever they might go, on the side that the aim wants.
    pub(crate) too_good: Vec<String>,
}

/// The best plan with another set of parts.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Edge {
    /// Parts of the plan that it leaves out.
    pub(crate) last_in: Vec<String>,
    /// Parts that it has in their stead.
    pub(crate) first_out: Vec<String>,
    /// What it costs; `below_doubt` is judged by `doubt` where there is one.
    pub(crate) price: Price,
    /// The doubt about the difference of the two totals, in the unit of the price; null for an aim that is no total.
    pub(crate) doubt: Option<f64>,
}

/// A position, and the parts left out that might stand there.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Contest {
    /// The position.
    pub(crate) position: String,
    /// The part there.
    pub(crate) part: String,
    /// The aim's fit there.
    pub(crate) value: f64,
    /// The unit of `value`, and of every value and gain of the aim's fit here.
    pub(crate) unit: String,
    /// The best part left out that may go there; null where there is none.
    pub(crate) next: Option<Rival>,
    /// Why no better part of the pile stands there: `best_of_pile`, `at_the_limit`, `elsewhere` (it does as much or more
    /// where it stands), or `outranked` (it stays out for what else the match asks).
    pub(crate) because: &'static str,
    /// Better parts that a limit keeps out; null where there are none, or where it is no limit that does.
    pub(crate) kept_out: Option<Barred>,
}

/// A part left out that may go to a position.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Rival {
    /// Its label.
    pub(crate) part: String,
    /// The aim's fit there with it.
    pub(crate) value: f64,
    /// By how much the part there is better by the aim.
    pub(crate) gain: f64,
    /// The gain is smaller than the doubt about the difference.
    pub(crate) below_doubt: bool,
}

/// Parts of the pile that would be better in a position, and break a limit there.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Barred {
    /// How many parts of the pile would be better there and may not go there.
    pub(crate) count: usize,
    /// The nearest of them.
    pub(crate) part: String,
    /// The aim's fit there with it.
    pub(crate) value: f64,
    /// The fit that is limited.
    pub(crate) fit: String,
    /// `min` or `max`.
    pub(crate) kind: &'static str,
    /// By how much it misses the limit, guard band counted.
    pub(crate) misses: f64,
    /// How far the part there is inside it, guard band taken off.
    pub(crate) spare: f64,
    /// The unit of `misses` and `spare`.
    pub(crate) unit: String,
}
