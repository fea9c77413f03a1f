//! An entry as typed, wherever it was typed.

use pairwright_engine::quantity::Amount;

use crate::diagnostic::{Code, Diagnostic, Place};

/// Keys, and columns, that hold words or labels; a sensitivity is a number with two units.
pub(in crate::input) const TEXTS: &[&str] = &[
    "name",
    "of",
    "cylinder",
    "valve",
    "piston",
    "rod",
    "gasket",
    "head",
    "rocker",
    "cam",
    "surface",
    "per_deck",
    "per_gasket",
    "per_lift",
];

/// Keys, and columns, that hold values.
pub(in crate::input) const AMOUNTS: &[&str] = &["reading", "u", "minimum", "lift", "lift_there", "angle"];

/// The quantity that a key or a column stands for, where it is called otherwise.
pub(in crate::input) const MEANT: &[(&str, &str)] = &[("reading", "clearance")];

/// Something typed, and where.
#[derive(Clone, Debug)]
pub(in crate::input) struct Said<T> {
    pub(in crate::input) value: T,
    pub(in crate::input) place: Place,
    /// The heading of its column, where it stands in a cell.
    pub(in crate::input) cell: Option<String>,
}

/// One entry.
#[derive(Clone, Debug)]
pub(in crate::input) struct EntryDraft {
    /// Where it stands: its section's head, or its name's cell.
    pub(in crate::input) at: Said<()>,
    pub(in crate::input) texts: Vec<(&'static str, Said<String>)>,
    pub(in crate::input) amounts: Vec<(&'static str, Said<Amount>)>,
    /// Keys that were refused: they are there, and have been reported.
    pub(in crate::input) refused: Vec<&'static str>,
}

impl<T> Said<T> {
    /// A finding about it.
    pub(in crate::input) fn wrong(&self, code: Code, message: impl Into<String>) -> Diagnostic {
        let item = Diagnostic::wrong(code, message).at(self.place.clone(), "");
        match &self.cell {
            Some(cell) => item.in_cell(cell.as_str()),
            None => item,
        }
    }

    /// The code of a word that is not known here.
    pub(in crate::input) fn word_code(&self) -> Code {
        if self.cell.is_some() { Code::CsvWord } else { Code::JobWord }
    }
}

impl EntryDraft {
    /// An entry that says nothing yet.
    pub(in crate::input) fn new(place: Place, cell: Option<String>) -> Self {
        Self { at: Said { value: (), place, cell }, texts: Vec::new(), amounts: Vec::new(), refused: Vec::new() }
    }

    /// What stands under a key of words.
    pub(super) fn text(&self, key: &str) -> Option<&Said<String>> {
        self.texts.iter().find(|(known, _)| *known == key).map(|(_, said)| said)
    }

    /// What stands under a key of values.
    pub(super) fn amount(&self, key: &str) -> Option<&Said<Amount>> {
        self.amounts.iter().find(|(known, _)| *known == key).map(|(_, said)| said)
    }

    /// Whether a key is there, if only refused.
    pub(in crate::input) fn has(&self, key: &str) -> bool {
        self.text(key).is_some() || self.amount(key).is_some() || self.refused.contains(&key)
    }

    /// A name for messages.
    pub(in crate::input) fn called(&self) -> String {
        self.text("name").map_or_else(|| "this clearance".to_owned(), |name| format!("`{}`", name.value))
    }
}
