//! What the readings say about themselves. Values are ticks (nm), positive above the deck.

/// What the readings say about themselves.
#[derive(Clone, Debug)]
pub struct ReadingsReport {
    /// Readings in the file.
    pub readings: usize,
    /// Readings that the estimate uses.
    pub used: usize,
    /// How well a reading repeats.
    pub repeatability: Repeatability,
    /// Smallest step of the gauge used for the rounding floor, in ticks.
    pub resolution: f64,
    /// The resolution was taken from the typed decimals, not stated by the job.
    pub resolution_from_decimals: bool,
    /// What to look at again, most telling first.
    pub findings: Vec<ReadingFinding>,
}

/// How well a reading repeats.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Repeatability {
    /// Standard deviation of one reading, in ticks.
    pub s: f64,
    /// Its degrees of freedom.
    pub dof: f64,
    /// Where it comes from.
    pub source: ScatterSource,
}

/// Where the repeatability comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScatterSource {
    /// Repeats and redundant readings alone.
    Residuals,
    /// The job's statement alone.
    Stated,
    /// Both, pooled.
    Pooled,
    /// Neither: only the gauge's resolution is known.
    ResolutionOnly,
}

/// A reading that would tie what is apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tie {
    /// Index of the position to read at.
    pub position: usize,
    /// Index of the part to read with.
    pub part: usize,
}

/// Something in the readings to look at. Lines are those of the readings file.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum ReadingFinding {
    /// One reading is far from what the others say.
    Disagrees {
        /// Its line.
        line: u32,
        /// The value as read, positive above.
        read: f64,
        /// What the other readings say it should be.
        expected: f64,
        /// How many other readings say so.
        others: usize,
    },
    /// Two repeats disagree and nothing says which is wrong.
    PairDisagrees {
        /// Their lines.
        lines: [u32; 2],
        /// Distance between them.
        apart: f64,
    },
    /// Repeats are closer than parts and positions explain: the sum model does not fit.
    LackOfFit {
        /// The F ratio.
        f: f64,
        /// Chance of one as large where the model fits.
        p: f64,
    },
    /// Readings that nothing else checks.
    Unchecked {
        /// Their lines.
        lines: Vec<u32>,
    },
    /// A reading the user took out, and where it stands.
    LeftOut {
        /// Its line.
        line: u32,
        /// The value as read, positive above.
        read: f64,
        /// What the readings used say it should be; `None` where they say nothing.
        expected: Option<f64>,
    },
    /// A pair was read at fewer spots than others.
    UnevenSpots {
        /// Lines of the readings concerned.
        lines: Vec<u32>,
    },
    /// All readings have the same value.
    AllEqual,
    /// Some pairs cannot be predicted; these readings would tie everything together.
    Untied {
        /// The cheapest readings that would do.
        ties: Vec<Tie>,
        /// Positions that no reading or straight deck reaches.
        positions: Vec<usize>,
        /// Parts that no reading reaches.
        parts: Vec<usize>,
    },
    /// A straight deck has too few read positions to draw its line, or to judge it.
    LineNotDrawn {
        /// Index of the bank.
        bank: usize,
    },
}
