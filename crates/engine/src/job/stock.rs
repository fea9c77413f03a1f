//! Stocks: the piles to choose from.

use super::{CYLINDER, Columns};

/// One measured part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// Label as typed; leading zeros count.
    pub id: String,
    /// `at`: index of the position where it stands now.
    pub at: Option<usize>,
    /// `fits`: where it may go; `None` is anywhere, an empty list is nowhere (a control part).
    pub fits: Option<Vec<Place>>,
    /// `with`: the label of a mated part.
    pub with: Option<String>,
    /// `count`: how many there are of a row that is a type, [`Part::ANY`] for as many as anybody wants; `None` is one
    /// measured part, of a gasket any number. Laid out in pieces ([`Job::with_pieces`](super::Job::with_pieces)) it is 1.
    pub count: Option<u32>,
    /// Line in the stock's file.
    pub line: u32,
}

/// A place named in a `fits` cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// A position, by index.
    Position(usize),
    /// Any position of a bank, by index.
    Bank(usize),
}

/// All parts of one kind.
#[derive(Clone, Debug, Default)]
pub struct Stock {
    /// `piston`, `rod`, `head`, `gasket`, `rocker`, or any other word of the job.
    pub kind: String,
    /// The kind of positions that its parts go to, and that `at` and `fits` count in; empty is `cylinder`. Heads and
    /// gaskets serve the banks of the cylinders.
    pub positions: String,
    /// The file it came from.
    pub file: String,
    /// The parts, in file order.
    pub parts: Vec<Part>,
    /// Measured values (`diameter`, `mass`, `dish`, `chamber_1` …, `thickness`, `u_…`, `price`), a row a part.
    pub columns: Columns,
}

impl Stock {
    /// The kind of positions that its parts go to.
    #[must_use]
    pub fn goes_to(&self) -> &str {
        if self.positions.is_empty() { CYLINDER } else { &self.positions }
    }
}

impl Part {
    /// Whether it may serve the bank at index `bank`; a part whose `fits` names positions only may not.
    #[must_use]
    pub fn may_serve(&self, bank: usize) -> bool {
        self.may_go(usize::MAX, Some(bank))
    }

    /// Whether it may go to position `position`, which lies on bank `bank`.
    #[must_use]
    pub fn may_go(&self, position: usize, bank: Option<usize>) -> bool {
        self.fits.as_ref().is_none_or(|places| {
            places.iter().any(|place| match *place {
                Place::Position(index) => index == position,
                Place::Bank(index) => Some(index) == bank,
            })
        })
    }
}
