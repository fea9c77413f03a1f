//! The types of heads and gaskets that are written as JSON.

use serde::Serialize;

use super::document::Quantity;
use super::explanation_document::Alternative;
use super::plan_document::Expected;

/// A part that serves a whole bank, or the whole engine.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Served {
    /// Its kind: `head` or `gasket`.
    pub(crate) role: String,
    /// The bank that it serves; null where it serves the engine.
    pub(crate) bank: Option<String>,
    /// The part.
    pub(crate) part: String,
    /// How a head sits on that bank: `as measured`, or `turned` end for end; null for anything else.
    pub(crate) seat: Option<&'static str>,
}

/// The aim's fit over the positions of one bank.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Bank {
    /// The bank.
    pub(crate) name: String,
    /// Mean of the predicted values.
    pub(crate) mean: Quantity,
    /// Largest less smallest predicted value.
    pub(crate) spread: Quantity,
    /// The true spread to expect, from joint draws.
    pub(crate) expected_spread: Expected,
}

/// The best plan with other heads, or with other gaskets, everything else chosen anew.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct OtherSetting {
    /// The kind that is set otherwise.
    pub(crate) role: String,
    /// What serves which bank instead.
    pub(crate) settings: Vec<Served>,
    /// The parts are the plan's own, on other banks.
    pub(crate) turned_about: bool,
    /// That plan; null where no plan within the limits has it.
    pub(crate) plan: Option<Alternative>,
    /// What the cheapest such plan within the limits costs, in the currency of the prices, where that is more than may be
    /// spent and so none is there; else null.
    pub(crate) least_price: Option<f64>,
    /// The search ended before a plan was found; there may be one.
    pub(crate) undecided: bool,
}

/// How much one thing contributes to what is left uneven.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Contribution {
    /// `deck`, `chamber`, `dish`, `gasket`, `swept`, `crevice` or `recess`.
    pub(crate) ingredient: &'static str,
    /// The spread of the aim's fit that would be left if only this differed from position to position, all else
    /// being its mean.
    pub(crate) spread: Quantity,
}
