//! Positions: the places that take parts.

use super::{Bank, CYLINDER, Column, Columns, FitName};
use crate::quantity::Amount;

/// All positions of one kind, in bank order, front to back, or those of them that a match serves.
#[derive(Clone, Debug, Default)]
pub struct Positions {
    /// `cylinder`, `valve`, or any other word of the job.
    pub kind: String,
    /// The positions file, where there is one.
    pub file: Option<String>,
    /// Labels as typed, one a position.
    pub ids: Vec<String>,
    /// Index into the job's banks, one a position.
    pub banks: Vec<Option<usize>>,
    /// Line in the positions file, one a position; 0 without a file.
    pub lines: Vec<u32>,
    /// Measured values (`bore`, `deck_height`, `throw`, `crevice`, `along`; `lobe_lift`, `lash`), a row a position.
    pub columns: Columns,
    /// `min_FIT` and `max_FIT` columns.
    pub limits: Vec<PositionLimit>,
    /// Where these are not all of their kind (`only`), the index of each among all of them, followed by the indices of
    /// the others; empty where they are all.
    pub order: Vec<usize>,
    /// Labels of the others, in the same order.
    pub others: Vec<String>,
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

    /// The label of the position at `index`, or of one of the others behind them.
    #[must_use]
    pub fn label(&self, index: usize) -> Option<&str> {
        self.ids.get(index).or_else(|| self.others.get(index.checked_sub(self.ids.len())?)).map(String::as_str)
    }

    /// The index among all positions of the kind of the one that is at `index` here.
    #[must_use]
    pub fn among_all(&self, index: usize) -> usize {
        self.order.get(index).copied().unwrap_or(index)
    }

    /// The index here of the one that is at `whole` among all positions of the kind; beyond [`Positions::len`] for one
    /// of the others.
    #[must_use]
    pub fn within(&self, whole: usize) -> usize {
        self.order.iter().position(|&known| known == whole).unwrap_or(whole)
    }

    /// Rows of positions that stand side by side, front to back: those on each bank, or without banks all in the order of
    /// their file.
    #[must_use]
    pub fn rows(&self, banks: &[Bank]) -> Vec<Vec<usize>> {
        if banks.is_empty() || self.kind != CYLINDER {
            return vec![(0..self.len()).collect()];
        }
        let here =
            |bank: &Bank| bank.cylinders.iter().map(|&at| self.within(at)).filter(|&at| at < self.len()).collect();
        banks.iter().map(here).collect()
    }

    /// The positions at `served` alone, in that order, with the labels of the others.
    ///
    /// ```
    /// use pairwright_engine::job::Positions;
    /// let ids = ["1", "2", "3"].map(str::to_owned).to_vec();
    /// let all = Positions { kind: "valve".into(), ids, ..Positions::default() };
    /// let two = all.only(&[0, 2]);
    /// assert_eq!((two.len(), two.label(1), two.label(2)), (2, Some("3"), Some("2")));
    /// assert_eq!((two.among_all(1), two.within(2), two.within(1)), (2, 1, 2));
    /// ```
    #[must_use]
    pub fn only(&self, served: &[usize]) -> Self {
        fn of<T: Clone>(all: &[T], served: &[usize]) -> Vec<T> {
            served.iter().filter_map(|&at| all.get(at).cloned()).collect()
        }
        let others: Vec<usize> = (0..self.len()).filter(|at| !served.contains(at)).collect();
        let columns =
            self.columns.iter().map(|column| Column { name: column.name.clone(), values: of(&column.values, served) });
        let limits =
            self.limits.iter().map(|limit| PositionLimit { values: of(&limit.values, served), ..limit.clone() });
        Self {
            kind: self.kind.clone(),
            file: self.file.clone(),
            ids: of(&self.ids, served),
            banks: of(&self.banks, served),
            lines: of(&self.lines, served),
            columns: Columns::new(columns.collect()),
            limits: limits.collect(),
            others: of(&self.ids, &others),
            order: served.iter().copied().chain(others).collect(),
        }
    }
}
