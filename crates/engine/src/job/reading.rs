//! Dial readings as typed.

use crate::quantity::Amount;

/// Which way the gauge counts up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Positive {
    /// A positive reading is a piston above the deck.
    #[default]
    Above,
    /// A positive reading is a piston below the deck.
    Below,
}

/// One dial reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DeckReading {
    /// Index of the cylinder.
    pub position: usize,
    /// Index into the piston stock.
    pub part: usize,
    /// The value as typed, before the gauge's sign is applied.
    pub value: Amount,
    /// Index into the rod stock, where the row says so.
    pub rod: Option<usize>,
    /// Index into [`DeckReadings::spots`], where the row says so.
    pub spot: Option<u32>,
    /// The user took it out of the estimate.
    pub leave_out: bool,
    /// Line in the readings file.
    pub line: u32,
}

/// `[readings] deck`.
#[derive(Clone, Debug, Default)]
pub struct DeckReadings {
    /// The file.
    pub file: String,
    /// The rows, in file order.
    pub rows: Vec<DeckReading>,
    /// Smallest step of the gauge, where stated.
    pub resolution: Option<Amount>,
    /// Standard deviation of a repeated reading, where stated.
    pub repeatability: Option<Amount>,
    /// Which way the gauge counts up.
    pub positive: Positive,
    /// The rod that readings were taken on where the row names none, as an index into the rod
    /// stock; predictions are for this rod.
    pub control_rod: Option<usize>,
    /// The spot labels that occur, in order of first appearance.
    pub spots: Vec<String>,
}
