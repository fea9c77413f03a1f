//! The types of the readings' own report that are written as JSON.

use serde::Serialize;

/// What the readings say about themselves.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Readings {
    /// The readings file.
    pub(crate) file: String,
    /// What a positive reading is: a piston `above` or `below` the deck.
    pub(crate) positive: &'static str,
    /// The rod that predictions are for; null where none is named.
    pub(crate) control_rod: Option<String>,
    /// Readings in the file.
    pub(crate) count: usize,
    /// Readings that the estimate uses.
    pub(crate) used: usize,
    /// How well a reading repeats.
    pub(crate) repeatability: Repeatability,
    /// Smallest step of the gauge.
    pub(crate) resolution: Resolution,
    /// What to look at again, the gravest first.
    pub(crate) findings: Vec<Finding>,
    /// What cannot be predicted, and the readings that would change that; null where everything can.
    pub(crate) untied: Option<Untied>,
}

/// How well a reading, or a pour, repeats.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Repeatability {
    /// Standard deviation of one reading or pour, the step of the gauge or burette set aside.
    pub(crate) value: f64,
    /// Standard deviation of one reading or pour as read, that step included.
    pub(crate) as_read: f64,
    /// The unit of both.
    pub(crate) unit: String,
    /// Degrees of freedom of both; null for infinitely many.
    pub(crate) dof: Option<f64>,
    /// Where it comes from: `residuals`, `stated`, `pooled` (both), `resolution only` or `nothing`.
    pub(crate) source: &'static str,
}

/// Smallest step of the gauge, or of the burette.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Resolution {
    /// The step.
    pub(crate) value: f64,
    /// Its unit.
    pub(crate) unit: String,
    /// It was taken from the typed decimals, not stated by the job.
    pub(crate) from_decimals: bool,
}

/// Something in the readings to look at.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Finding {
    /// The readings file.
    pub(crate) file: String,
    /// Its lines, the header counted as the first; empty where all readings are meant.
    pub(crate) lines: Vec<u32>,
    /// The unit of the lengths here, which are positive above the deck.
    pub(crate) unit: String,
    /// What was found.
    #[serde(flatten)]
    pub(crate) found: Found,
}

/// What was found in the readings. `p` is the chance that good readings look as bad.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(tag = "what", rename_all = "snake_case")]
pub(crate) enum Found {
    /// One reading is far from what the others say.
    Disagrees {
        /// The position it was taken in.
        position: Option<String>,
        /// The part it was taken with.
        part: Option<String>,
        /// The value as read.
        read: f64,
        /// What the other readings say it should be.
        expected: f64,
        /// How many other readings say so.
        others: usize,
        /// The difference in its own standard uncertainties.
        t: f64,
        /// See above.
        p: f64,
    },
    /// Two repeats disagree, and nothing says which is wrong.
    PairDisagrees {
        /// Distance between them.
        apart: f64,
        /// See above.
        p: f64,
    },
    /// Readings check each other in a circle and contradict: one of them is wrong.
    CircleDisagrees {
        /// By how much any one of them would have to change.
        off: f64,
        /// See above.
        p: f64,
    },
    /// Parts and positions do not simply add up.
    LackOfFit {
        /// The position that misses by most.
        position: String,
        /// The part that misses by most there.
        part: String,
        /// How far it is from what the others say.
        off: f64,
        /// The F ratio.
        f: f64,
        /// See above.
        p: f64,
    },
    /// The readings scatter by more than the stated repeatability.
    ScatterAboveStated {
        /// Standard deviation found.
        found: f64,
        /// What the stated figure and the gauge's step would give.
        stated: f64,
        /// See above.
        p: f64,
    },
    /// All readings have the same value.
    AllEqual {
        /// The value.
        read: f64,
        /// How many readings.
        readings: usize,
    },
    /// Some pairs were read at fewer spots than others.
    UnevenSpots {
        /// The largest difference between two spots of one pair; null where no pair has two.
        apart: Option<f64>,
    },
    /// Readings that nothing else checks.
    Unchecked,
    /// A reading that the user took out.
    LeftOut {
        /// The value as read.
        read: f64,
        /// What the readings used say it should be; null where they say nothing.
        expected: Option<f64>,
    },
    /// A straight deck has too few read positions to draw its line.
    LineNotDrawn {
        /// The bank.
        bank: Option<String>,
        /// Its positions that were read.
        measured: usize,
        /// How many it takes.
        needed: usize,
    },
    /// A finding that this format has no words for.
    Unknown,
}

/// What cannot be predicted.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Untied {
    /// How many pairs of a part and a position.
    pub(crate) pairs: u64,
    /// Positions that no reading or straight deck reaches.
    pub(crate) positions: Vec<String>,
    /// Parts that no reading reaches.
    pub(crate) parts: Vec<String>,
    /// The fewest readings that tie everything together.
    pub(crate) ties: Vec<Tie>,
}

/// A reading that would tie what is apart.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Tie {
    /// The position to read at.
    pub(crate) position: String,
    /// The part to read with.
    pub(crate) part: String,
}
