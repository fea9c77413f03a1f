//! Positions: the places that take parts.

use super::{Columns, FitName};
use crate::quantity::Amount;

/// All positions of one kind, in bank order, front to back.
#[derive(Clone, Debug, Default)]
pub struct Positions {
    /// `cylinder`.
    pub kind: String,
    /// The positions file, where there is one.
    pub file: Option<String>,
    /// Labels as typed, one a position.
    pub ids: Vec<String>,
    /// Index into the job's banks, one a position.
    pub banks: Vec<Option<usize>>,
    /// Line in the positions file, one a position; 0 without a file.
    pub lines: Vec<u32>,
    /// Measured values (`bore`, `deck_height`, `throw`, `crevice`, `along`), a row a position.
    pub columns: Columns,
    /// `min_FIT` and `max_FIT` columns.
    pub limits: Vec<PositionLimit>,
}

/// Which side a limit bounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Bounding {
    /// The value may not be less.
    Min,
    /// The value may not be greater.
    Max,
}

/// A limit that differs from position to position: a `min_FIT` or `max_FIT` column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PositionLimit {
    /// The fit it bounds.
    pub fit: FitName,
    /// Which side.
    pub side: Bounding,
    /// A bound for every position that has one.
    pub values: Vec<Option<Amount>>,
}

impl Positions {
    /// How many positions there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.ids.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.ids.is_empty()
    }

    /// The index of the position labelled `id`.
    #[must_use]
    pub fn index_of(&self, id: &str) -> Option<usize> {
        self.ids.iter().position(|known| known == id)
    }
}
