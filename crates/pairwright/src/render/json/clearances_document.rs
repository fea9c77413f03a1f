//! The types of the clearance ledger that are written as JSON.

use serde::Serialize;

use super::document::Quantity;
use super::plan_document::Expected;

/// What the plans leave of the clearances that were measured on the mock-up.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Clearances {
    /// Every entry of a place that has a plan, in the order of the ledger.
    pub(crate) entries: Vec<Clearance>,
    /// For each change the entry that stops it first, all else as planned.
    pub(crate) stops: Vec<Stop>,
}

/// One entry of the ledger.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Clearance {
    /// Its name.
    pub(crate) name: String,
    /// The cylinder it was read at; null where it names none.
    pub(crate) cylinder: Option<String>,
    /// The valve it was read at; null where it names none.
    pub(crate) valve: Option<String>,
    /// What was read.
    pub(crate) read: Quantity,
    /// What is left of it, with its 95 % interval; null where it has to be measured again.
    pub(crate) left: Option<Expected>,
    /// Standard uncertainty of what is left; null where it has to be measured again.
    pub(crate) u: Option<Quantity>,
    /// The least that may be left.
    pub(crate) minimum: Quantity,
    /// From what is left to the minimum; negative below it, null where it has to be measured again.
    pub(crate) margin: Option<Quantity>,
    /// The guard band; null where it has to be measured again.
    pub(crate) band: Option<Quantity>,
    /// `held`, `nominal`, `broken` or `measure_again`.
    pub(crate) state: &'static str,
    /// Why it has to be measured again: `cam`, `head`, `changed` or `unknown`; else null.
    pub(crate) measure_again: Option<&'static str>,
    /// How much higher the piston stands than when it was read.
    pub(crate) piston_higher: Quantity,
    /// How much thicker the gasket is.
    pub(crate) gasket_thicker: Quantity,
    /// How much further the valve lifts.
    pub(crate) extra_lift: Quantity,
    /// A match without a plan still decides on something that it follows, which counts as it was read.
    pub(crate) open: bool,
    /// How far each change may go; null where it has to be measured again.
    pub(crate) headroom: Option<Headroom>,
    /// The greatest lift at the valve that it is good for; null where the lift is not known or never stops it.
    pub(crate) good_for: Option<Quantity>,
}

/// How far each change may go by itself before what is left, less the guard band, is the minimum; null where the entry
/// never stops it, negative where it is not held as it stands.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Headroom {
    /// More lift at the valve.
    pub(crate) more_lift: Option<Quantity>,
    /// Less gasket.
    pub(crate) less_gasket: Option<Quantity>,
    /// A higher piston.
    pub(crate) higher_piston: Option<Quantity>,
}

/// The entry that stops a change first.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Stop {
    /// `more_lift`, `less_gasket` or `higher_piston`.
    pub(crate) change: &'static str,
    /// The entry's name.
    pub(crate) clearance: String,
    /// How far the change may go.
    pub(crate) at: Quantity,
}

/// What a little more of one thing would do to the plan as it stands, nothing chosen anew.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct LittleMore {
    /// `gasket`, `deck` or `chamber`.
    pub(crate) of: &'static str,
    /// How much more.
    pub(crate) by: Quantity,
    /// Growth of the mean of the aim's fit.
    pub(crate) mean: Quantity,
    /// Growth of its spread.
    pub(crate) spread: Quantity,
    /// The tightest limit that any of these moves; null where none does.
    pub(crate) tightest: Option<Tightest>,
}

/// A limit that gains or loses.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Tightest {
    /// The fit, or the name of the clearance.
    pub(crate) fit: String,
    /// Which bound: `min`, `max`, `spread` or `neighbours`.
    pub(crate) kind: &'static str,
    /// Room to it as planned, guard band taken off.
    pub(crate) room: Quantity,
    /// How much more room there would be.
    pub(crate) gains: Quantity,
}
