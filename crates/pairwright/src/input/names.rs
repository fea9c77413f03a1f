//! Labels to indices.

use std::collections::HashMap;

/// The labels of a stock.
#[derive(Debug)]
pub(super) struct Ids<'a> {
    pub(super) kind: &'a str,
    pub(super) file: &'a str,
    pub(super) index: HashMap<&'a str, usize>,
    /// Whether all labels of the file are known; otherwise an unknown label may be one of those
    /// that could not be read, and its report would be noise.
    pub(super) trusted: bool,
}

/// The cylinders and banks that a cell or a key may name.
#[derive(Debug, Default)]
pub(super) struct Places {
    pub(super) positions: HashMap<String, usize>,
    pub(super) banks: HashMap<String, usize>,
    /// Position labels in bank order, for messages.
    pub(super) labels: Vec<String>,
    pub(super) bank_names: Vec<String>,
    /// As for [`Ids`].
    pub(super) trusted: bool,
}

impl Places {
    /// The remedy where `label` is no cylinder: those there are.
    pub(super) fn cylinders_are(&self) -> String {
        let labels: Vec<_> = self.labels.iter().map(String::as_str).collect();
        format!("the cylinders are {}", super::nearest::listed(&labels))
    }

    /// The remedy where `label` is neither a cylinder nor a bank.
    pub(super) fn places_are(&self) -> String {
        let banks: Vec<_> = self.bank_names.iter().map(String::as_str).collect();
        let banks = if banks.is_empty() {
            "there are no banks".to_owned()
        } else {
            format!("the banks {}", super::nearest::listed(&banks))
        };
        format!("{}; {banks}; `none` means that the part is never placed", self.cylinders_are())
    }
}
