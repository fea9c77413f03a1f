//! The types of a pile's outlook that are written as JSON.

use serde::Serialize;

/// What more parts of a kind would do for a match.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema), schemars(title = "What pairwright says of a pile, format 1"))]
pub(crate) struct PileDocument {
    /// The number of this format: 1.
    pub(crate) format: u32,
    /// The match that is asked about.
    #[serde(rename = "match")]
    pub(crate) matching: String,
    /// The kind of the parts.
    pub(crate) kind: String,
    /// The fit of the match's aim.
    pub(crate) fit: String,
    /// What is sought, in words: `the spread of deck clearance`.
    pub(crate) sought: String,
    /// The unit of every value below.
    pub(crate) unit: String,
    /// How many parts there are to choose from.
    pub(crate) parts: usize,
    /// How many positions they go to.
    pub(crate) positions: usize,
    /// The best value with the parts there are; null where they give no plan yet.
    pub(crate) now: Option<f64>,
    /// What counts before the aim, in order: `first` of the match.
    pub(crate) before: Vec<CountsBefore>,
    /// What a further part costs where the plan uses it; null where it costs nothing and counts as no piece to buy.
    pub(crate) further_price: Option<f64>,
    /// What further parts are taken to be like.
    pub(crate) model: ModelWord,
    /// One entry for every number of further parts asked for, in the order asked for.
    pub(crate) steps: Vec<PileStep>,
    /// How many further parts a stated value takes; null where none was stated.
    pub(crate) to_reach: Option<ToReach>,
    /// The seed of the draws: the same one gives the same answer.
    pub(crate) seed: u64,
    /// How many futures were drawn.
    pub(crate) futures: usize,
}

/// What further parts are drawn from.
#[derive(Clone, Copy, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub(crate) enum ModelWord {
    /// A normal distribution whose mean and scatter are in doubt themselves.
    Normal,
    /// Around the parts that were measured: the stock is visibly not normal.
    Smoothed,
}

/// What so many further parts would do.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct PileStep {
    /// How many parts come to the pile.
    pub(crate) more: usize,
    /// The value to expect; null where the positions cannot be filled in any future.
    pub(crate) value: Option<Outlying>,
    /// How much better that is than now; null where there is no value now. Below 0 it is worse, for what counts before it.
    pub(crate) gain: Option<Outlying>,
    /// The same of everything in `before` of the document; empty where the positions cannot be filled in any future.
    pub(crate) before: Vec<BeforeStep>,
    /// The share of futures in which the positions can be filled.
    pub(crate) fillable: f64,
    /// The share of futures in which anything is gained.
    pub(crate) helps: f64,
    /// The share of futures whose plan was not proven to be the best, or in which it was not found out whether there is one.
    pub(crate) unproven: f64,
}

/// A total that counts before the aim.
#[derive(Clone, Copy, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct CountsBefore {
    /// What is totalled.
    pub(crate) what: BeforeWord,
    /// The least total now; null where the parts there are give no plan.
    pub(crate) now: Option<f64>,
}

/// What is totalled before the aim.
#[derive(Clone, Copy, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub(crate) enum BeforeWord {
    /// What the parts used cost, in the currency of their prices.
    Price,
    /// How many of the parts used have a price.
    Bought,
    /// How many of the parts used stand elsewhere now, or nowhere.
    Moves,
}

/// What so many further parts would do for a total that counts before the aim.
#[derive(Clone, Copy, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct BeforeStep {
    /// The total to expect.
    pub(crate) value: Outlying,
    /// How much less that is than now; null where there is no plan now.
    pub(crate) gain: Option<Outlying>,
}

/// An expectation over all futures, and where 95 % of them lie.
#[derive(Clone, Copy, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Outlying {
    /// The expectation.
    pub(crate) value: f64,
    /// 2.5 % of the futures are lower.
    pub(crate) low: f64,
    /// 2.5 % of the futures are higher.
    pub(crate) high: f64,
}

/// How many further parts a stated value takes.
#[derive(Clone, Copy, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct ToReach {
    /// The value stated: of what counts first, the aim unless `before` has something.
    pub(crate) value: f64,
    /// The fewest with which the expected value reaches it; null where not with the most looked at. 0: it is reached now.
    pub(crate) expected: Option<usize>,
    /// The fewest with which it is reached in half of the futures; null likewise.
    pub(crate) half_of_futures: Option<usize>,
    /// The fewest with which it is reached in 19 of 20 futures; null likewise.
    pub(crate) nineteen_of_twenty: Option<usize>,
    /// The most further parts that were looked at.
    pub(crate) looked_at: usize,
}
