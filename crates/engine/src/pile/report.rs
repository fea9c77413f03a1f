//! What more parts would do, as plain data.

use super::population::{Judged, Model, Scatter};
use crate::plan::Interval;

/// The aim now and after several numbers of further parts.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlook {
    /// How many parts there are.
    pub parts: usize,
    /// How many positions they fill.
    pub positions: usize,
    /// What further parts are taken to be like.
    pub model: Model,
    /// Why.
    pub judged: Judged,
    /// Each of a part's numbers, as measured.
    pub scatters: Vec<Scatter>,
    /// The best value of the aim now, in ticks; `None` where the parts do not fill the positions.
    pub now: Option<f64>,
    /// The same of every total that counts before the aim; empty where nothing does.
    pub before: Vec<f64>,
    /// One step for every number asked for, in the order asked.
    pub steps: Vec<Step>,
    /// How many futures were drawn.
    pub futures: usize,
    /// From which seed.
    pub seed: u64,
}

/// What so many further parts would do.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// How many parts come to the pile.
    pub more: usize,
    /// The share of futures in which the positions can be filled; the figures below are about those.
    pub fillable: f64,
    /// The expected best value of the aim, in ticks (squares: as a root mean square), and where it lies in 95 % of futures;
    /// `None` where the positions cannot be filled in any.
    pub value: Option<Interval>,
    /// How much better that is than now, never below 0 unless something counts before the aim; `None` where there is no value now.
    pub gain: Option<Interval>,
    /// Every total that counts before the aim; empty where the positions cannot be filled in any future.
    pub before: Vec<Gained>,
    /// The share of futures whose best choice was not proven to be the best before the effort was spent, or in which it was not found out whether
    /// there is one; with the best choice met they count in the figures above.
    pub unproven: f64,
    /// The share of futures in which anything is gained; 1 counts those that make a plan possible at all.
    pub helps: f64,
    /// How the expectation was found.
    pub how: How,
    /// Standard error of the expectation from the number of futures, in ticks.
    pub error: f64,
}

/// What so many further parts would do for a total that counts before the aim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gained {
    /// The expected total, and where it lies in 95 % of futures.
    pub value: Interval,
    /// By how much it is less than now; `None` where there is no plan now.
    pub gain: Option<Interval>,
}

/// How an expectation was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum How {
    /// Integrated over all that further parts can be, with mean and scatter as drawn in each future.
    Integrated,
    /// The mean over drawn futures, each chosen from anew.
    Drawn,
}

/// How many further parts a wish takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Needs {
    /// The value wished for, in ticks, of what counts first: the first total before the aim, else the aim.
    pub wanted: f64,
    /// The best value of that now.
    pub now: Option<f64>,
    /// The fewest with which the expected value reaches it.
    pub expected: Need,
    /// The fewest with which it is reached in half of the futures.
    pub as_likely_as_not: Need,
    /// The fewest with which it is reached in 19 of 20 futures.
    pub likely: Need,
    /// What the most parts looked at would do.
    pub at_most: Step,
}

/// A number of further parts, or why there is none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// The parts there are do it.
    None,
    /// So many more.
    More(usize),
    /// So many more, within a fiftieth.
    About(usize),
    /// Not even with the most parts looked at.
    OutOfReach {
        /// How many that were.
        most: usize,
    },
}
