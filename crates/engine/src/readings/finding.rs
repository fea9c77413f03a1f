//! What is odd about a set of readings.

use super::{BankId, PartId, PositionId};

/// Something about the readings that their owner should know. Readings are named by the caller's line numbers; values are nm.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Finding {
    /// One reading is further from what the others say than chance allows.
    ///
    /// It stays in the estimate. Where several readings are odd, the oddest was found first and each later one without those before it.
    Outlier {
        /// Its line.
        line: u32,
        /// The reading.
        value: f64,
        /// What the others say it should be.
        expected: f64,
        /// How many others: the readings tied to it, less those found odd before.
        others: usize,
        /// `value - expected` in its own standard uncertainties, estimated without it (externally studentized).
        t: f64,
        /// The chance that the worst of so many good readings lies as far out (Bonferroni).
        p: f64,
    },
    /// Two repeats disagree and nothing else decides between them.
    PairDisagrees {
        /// Their lines, in ascending order.
        lines: [u32; 2],
        /// How far they are from each other.
        apart: f64,
        /// The chance that the worst of so many good readings lies as far out.
        p: f64,
    },
    /// Readings check each other in a circle and contradict; one of them is wrong, and nothing decides which.
    CircleDisagrees {
        /// Their lines, in ascending order.
        lines: Vec<u32>,
        /// By how much any one of them would have to change.
        off: f64,
        /// The chance that the worst of so many good readings lies as far out.
        p: f64,
    },
    /// Parts and positions do not simply add up: the cells miss the fitted sums by more than repeats scatter. Odd readings reported above
    /// are left out of this test.
    LackOfFit {
        /// Mean square of the misfit over that of repeats.
        f: f64,
        /// The chance of an F as large where everything adds up.
        p: f64,
        /// The part of the cell that misses by most.
        part: PartId,
        /// The position of that cell.
        position: PositionId,
        /// The lines of that cell.
        lines: Vec<u32>,
        /// How far that cell is from what the others say.
        off: f64,
    },
    /// The readings scatter by more than the stated repeatability. Odd readings reported above are left out of this test.
    ScatterAboveStated {
        /// Standard deviation of the residuals.
        found: f64,
        /// What the stated figure and the gauge's step would give.
        stated: f64,
        /// The chance of a ratio as large where the stated figure holds.
        p: f64,
    },
    /// Every reading has the same value, over several parts or positions: the gauge may be stuck.
    AllEqual {
        /// How many readings.
        readings: usize,
        /// Their value.
        value: f64,
    },
    /// Some pairs were read at fewer spots than others, so that their means are not means of the same thing.
    UnevenSpots {
        /// The lines of the pairs that lack a spot, in ascending order.
        lines: Vec<u32>,
        /// The largest difference between two spots of one pair: what a missing spot may be worth. `None` where no pair has two.
        apart: Option<f64>,
    },
    /// Readings that no other reading checks: an error in one of them cannot show. Normal where parts are read once.
    Unchecked {
        /// Their lines, in ascending order.
        lines: Vec<u32>,
    },
    /// A reading left out by the user, compared with what the others say.
    LeftOut {
        /// Its line.
        line: u32,
        /// The reading.
        value: f64,
        /// What the readings in use say it should be; `None` where they say nothing.
        expected: Option<f64>,
    },
    /// A straight deck on which unmeasured positions cannot be predicted.
    LineNotDrawn {
        /// The bank.
        bank: BankId,
        /// How many of its positions were measured (in the component that holds most of them).
        measured: usize,
        /// How many, at different places along the bank, it takes: 3, or 2 where the form is stated.
        needed: usize,
    },
}
