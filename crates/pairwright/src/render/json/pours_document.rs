//! The types of the pours' own report that are written as JSON.

use serde::Serialize;

use super::readings_document::{Repeatability, Resolution};

/// What the pours of chambers say about themselves.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct Pours {
    /// The pours' file.
    pub(crate) file: String,
    /// Pours in the file.
    pub(crate) count: usize,
    /// Pours that the estimate uses.
    pub(crate) used: usize,
    /// How well a pour repeats.
    pub(crate) repeatability: Repeatability,
    /// Smallest step of the burette; 0 where it is not known.
    pub(crate) resolution: Resolution,
    /// What to look at again, the gravest first.
    pub(crate) findings: Vec<PourFinding>,
}

/// Something in the pours to look at.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(crate) struct PourFinding {
    /// The pours' file.
    pub(crate) file: String,
    /// Its lines, the header counted as the first; empty where all pours are meant.
    pub(crate) lines: Vec<u32>,
    /// The unit of the volumes here.
    pub(crate) unit: String,
    /// The head that was poured; null where the lines are of several chambers.
    pub(crate) head: Option<String>,
    /// Its chamber, counted from 1; null where the lines are of several chambers.
    pub(crate) chamber: Option<usize>,
    /// What was found.
    #[serde(flatten)]
    pub(crate) found: PourFound,
}

/// What was found in the pours. `p` is the chance that good pours look as bad.
#[derive(Clone, Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
#[serde(tag = "what", rename_all = "snake_case")]
pub(crate) enum PourFound {
    /// One pour is far from what the others say.
    Disagrees {
        /// The volume as read.
        read: f64,
        /// What the other pours say it should be.
        expected: f64,
        /// How many other pours were looked at.
        others: usize,
        /// The difference in its own standard uncertainties.
        t: f64,
        /// See above.
        p: f64,
    },
    /// Two pours of a chamber disagree, and nothing says which is wrong.
    PairDisagrees {
        /// Distance between them.
        apart: f64,
        /// See above.
        p: f64,
    },
    /// The pours scatter by more than the stated repeatability.
    ScatterAboveStated {
        /// Standard deviation found.
        found: f64,
        /// What the stated figure and the burette's step would give.
        stated: f64,
        /// See above.
        p: f64,
    },
    /// All pours have the same volume.
    AllEqual {
        /// The volume.
        read: f64,
        /// How many pours.
        readings: usize,
    },
    /// Pours that nothing else checks.
    Unchecked,
    /// A pour that the user took out.
    LeftOut {
        /// The volume as read.
        read: f64,
        /// What the pours used say it should be; null where they say nothing.
        expected: Option<f64>,
    },
    /// A finding that this format has no words for.
    Unknown,
}
