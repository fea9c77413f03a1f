//! The types of a plan that are written as JSON.

use std::collections::BTreeMap;

use serde::Serialize;

use super::document::Quantity;
use super::setting_document::{Bank, Served};

/// Parts in positions, and what results.
#[derive(Clone, Debug, Default, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Plan {
    /// Largest less smallest predicted value of the aim's fit.
    pub(crate) spread: Option<Quantity>,
    /// Mean of the predicted values.
    pub(crate) mean: Option<Quantity>,
    /// Root mean square deviation of the predicted values from their mean.
    pub(crate) scatter: Option<Quantity>,
    /// The true spread to expect, from joint draws.
    pub(crate) expected_spread: Option<Expected>,
    /// Largest deviation from the target; null without one.
    pub(crate) worst: Option<Quantity>,
    /// Root mean square deviation from the target; null without one.
    pub(crate) off_target: Option<Quantity>,
    /// Sum over the positions, for an aim that is judged by it; else null.
    pub(crate) total: Option<Quantity>,
    /// The same bank by bank, in the order of the job.
    pub(crate) banks: Vec<Bank>,
    /// Heads and gaskets: what serves which bank.
    pub(crate) settings: Vec<Served>,
    /// One entry a position, in bank order.
    pub(crate) placements: Vec<Placement>,
    /// Parts that may be used and are not.
    pub(crate) left_out: Vec<String>,
    /// The same for the other kinds, by kind; a kind of which no part is left out is not listed.
    pub(crate) others_left_out: BTreeMap<String, Vec<String>>,
    /// Positions that get another part than stands there now; null where the stock does not say.
    pub(crate) moves: Option<usize>,
    /// What has to be bought; null where no part that could be placed has a price.
    pub(crate) shopping: Option<Shopping>,
    /// Every limit that applies.
    pub(crate) limits: Vec<Limit>,
    /// Chance that all limits hold together, from joint draws; null without limits.
    pub(crate) chance_all_hold: Option<f64>,
}

/// What has to be bought for a plan; prices in the currency of whoever wrote them.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Shopping {
    /// A line for every type, or part, that has a price and is used.
    pub(crate) lines: Vec<Bought>,
    /// What all of it costs.
    pub(crate) total: f64,
}

/// A line of the shopping list.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Bought {
    /// The kind.
    pub(crate) role: String,
    /// The label of the type, or part.
    pub(crate) part: String,
    /// How many pieces.
    pub(crate) count: u32,
    /// The price of one.
    pub(crate) price: f64,
    /// What all pieces of the line cost.
    pub(crate) total: f64,
}

/// A value known from draws.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Expected {
    /// Mean of the draws.
    pub(crate) value: f64,
    /// 2.5 % of the draws are lower.
    pub(crate) low: f64,
    /// 2.5 % of the draws are higher.
    pub(crate) high: f64,
    /// The unit of all three.
    pub(crate) unit: String,
}

/// Parts in a position.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Placement {
    /// The position's label.
    pub(crate) position: String,
    /// The bank it lies on; else null.
    pub(crate) bank: Option<String>,
    /// The label of every part, by its kind or the name that `as` gives it.
    pub(crate) parts: BTreeMap<String, String>,
    /// The chamber of the head that stands over it, counted from 1 at the end that is the front when the head sits
    /// as measured; null where the match places no heads.
    pub(crate) chamber: Option<usize>,
    /// Where the part of every kind stands now, a position, of heads and gaskets a bank; null is the shelf. A kind
    /// whose stock does not say is not listed. A gasket is a type: it is the bank where one of the type lies.
    pub(crate) comes_from: BTreeMap<String, Option<String>>,
    /// Every fit that can be predicted here, by name.
    pub(crate) fits: BTreeMap<String, Fit>,
}

/// A fit at one position.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Fit {
    /// The predicted value.
    pub(crate) value: f64,
    /// The unit of every number here.
    pub(crate) unit: String,
    /// Standard uncertainty.
    pub(crate) u: f64,
    /// Lower end of the 95 % interval of the true value.
    pub(crate) low: f64,
    /// Upper end of the 95 % interval of the true value.
    pub(crate) high: f64,
    /// Effective degrees of freedom of `u`; null for infinitely many.
    pub(crate) dof: Option<f64>,
    /// The position was not read: its deck is taken from the straight line of its bank.
    pub(crate) from_line: bool,
    /// Distance to the nearest limit of this fit here, negative beyond it; null without one.
    pub(crate) margin: Option<f64>,
}

/// How one limit fares.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Limit {
    /// The fit.
    pub(crate) fit: String,
    /// `min`, `max`, `spread` or `neighbours`.
    pub(crate) kind: &'static str,
    /// `held`: inside by its guard band; `nominal`: inside, but not by the band; `broken`: outside.
    pub(crate) state: &'static str,
    /// The bound; where it differs by position, that of the tightest one.
    pub(crate) bound: f64,
    /// Whether it differs from position to position.
    pub(crate) by_position: bool,
    /// Whether the uncertainty is counted.
    pub(crate) guard: bool,
    /// From the predicted value to the bound at the tightest position; negative beyond it.
    pub(crate) margin: f64,
    /// The guard band there; 0 where the uncertainty is not counted.
    pub(crate) band: f64,
    /// The unit of `bound`, `margin` and `band`.
    pub(crate) unit: String,
    /// The position with the least room; null for a spread.
    pub(crate) tightest: Option<String>,
}
