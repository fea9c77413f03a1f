//! Labels to indices.

use crate::noun::plural;
use std::cell::Cell;
use std::collections::HashMap;

use pairwright_engine::job::{CYLINDER, Part, Stock};

/// The labels of a stock.
#[derive(Debug)]
pub(super) struct Ids<'a> {
    pub(super) kind: &'a str,
    pub(super) file: &'a str,
    parts: &'a [Part],
    index: HashMap<&'a str, usize>,
    /// The part found last.
    last: Cell<usize>,
    /// Whether all labels of the file are known; otherwise an unknown label may be one of those
    /// that could not be read, and its report would be noise.
    pub(super) trusted: bool,
}

impl<'a> Ids<'a> {
    pub(super) fn new(stock: &'a Stock, index: HashMap<&'a str, usize>, trusted: bool) -> Self {
        Self { kind: &stock.kind, file: &stock.file, parts: &stock.parts, index, last: Cell::new(0), trusted }
    }

    /// The index of the part called `label`.
    pub(super) fn find(&self, label: &str) -> Option<usize> {
        // A pile is mostly read in the order of its file: the part read last, or the one after it,
        // is at hand, while a large index is not.
        let last = self.last.get();
        let near = (last..self.parts.len()).take(2).find(|&at| self.parts[at].id == label);
        // Of two parts with one label the first counts.
        let found = near.filter(|_| self.parts.len() == self.index.len()).or_else(|| self.index.get(label).copied())?;
        self.last.set(found);
        Some(found)
    }

    /// The labels, in the order of the file.
    pub(super) fn labels(&self) -> impl Iterator<Item = &'a str> {
        self.parts.iter().map(|part| part.id.as_str())
    }
}

/// The positions of one kind, and the banks, that a cell or a key may name.
#[derive(Debug, Default)]
pub(super) struct Places {
    /// `cylinder`; empty where the job has no such positions.
    pub(super) kind: String,
    pub(super) positions: HashMap<String, usize>,
    pub(super) banks: HashMap<String, usize>,
    /// Position labels in bank order, for messages.
    pub(super) labels: Vec<String>,
    pub(super) bank_names: Vec<String>,
    /// As for [`Ids`].
    pub(super) trusted: bool,
}

impl Places {
    /// The remedy where `label` is no position: those there are.
    pub(super) fn positions_are(&self) -> String {
        let labels: Vec<_> = self.labels.iter().map(String::as_str).collect();
        format!("the {} are {}", plural(&self.kind), super::nearest::listed(&labels))
    }

    /// Whether a place may be a bank, too.
    pub(super) fn have_banks(&self) -> bool {
        self.kind == CYLINDER
    }

    /// `in cylinder`, `at valve`.
    pub(super) fn stand(&self) -> String {
        if self.kind == CYLINDER { format!("in {}", self.kind) } else { format!("at {}", self.kind) }
    }

    /// The remedy where `label` is neither a cylinder nor a bank.
    pub(super) fn places_are(&self) -> String {
        if !self.have_banks() {
            return format!("{}; `none` means that the part is never placed", self.positions_are());
        }
        let banks: Vec<_> = self.bank_names.iter().map(String::as_str).collect();
        let banks = if banks.is_empty() {
            "there are no banks".to_owned()
        } else {
            format!("the banks {}", super::nearest::listed(&banks))
        };
        format!("{}; {banks}; `none` means that the part is never placed", self.positions_are())
    }

    /// The remedy where `label` is no bank: those there are.
    pub(super) fn banks_are(&self) -> String {
        let banks: Vec<_> = self.bank_names.iter().map(String::as_str).collect();
        if banks.is_empty() {
            "the job has no `[banks]`".to_owned()
        } else {
            format!("the banks are {}", super::nearest::listed(&banks))
        }
    }
}
