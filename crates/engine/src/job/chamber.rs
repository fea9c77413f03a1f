//! Poured chamber volumes as typed.

use crate::quantity::Amount;

/// One pour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChamberReading {
    /// Index into the head stock.
    pub head: usize,
    /// The chamber, counted from 0 at the end that is the front when the head sits as measured.
    pub chamber: usize,
    /// The volume as typed.
    pub value: Amount,
    /// The user took it out of the estimate.
    pub leave_out: bool,
    /// Line in the readings file.
    pub line: u32,
}

/// `[readings] chamber`: repeated pours of the heads' chambers.
#[derive(Clone, Debug, Default)]
pub struct ChamberReadings {
    /// The file.
    pub file: String,
    /// The rows, in file order.
    pub rows: Vec<ChamberReading>,
    /// Smallest step of the burette, where stated.
    pub resolution: Option<Amount>,
    /// Standard deviation of a repeated pour, where stated.
    pub repeatability: Option<Amount>,
}
