//! One finding.

use super::{Code, Place, Sources};

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Nothing can be done with the input until it is put right.
    Error,
    /// Probably a slip.
    Warning,
    /// Good to know.
    Note,
}

/// What follows from it for the program that was called.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Class {
    /// The input is wrong or contradicts itself.
    Wrong,
    /// The input is sound but lacks something for a match that it asks for.
    Missing,
    /// Nothing follows.
    Note,
}

/// A place and what is to be seen there.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Label {
    /// Where.
    #[serde(flatten)]
    pub place: Place,
    /// What is to be seen there; may be empty.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub text: String,
}

/// One finding: what, where, and what to do.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Diagnostic {
    /// The kind of finding; stable.
    pub code: Code,
    /// What follows from it.
    pub class: Class,
    /// How bad it is.
    pub severity: Severity,
    /// What is wrong, in one sentence without a full stop.
    pub message: String,
    /// Where; the first is the place itself, the others help to see why. Empty only where no file
    /// could be read.
    pub labels: Vec<Label>,
    /// The name of the CSV column, where the place is a cell.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cell: Option<String>,
    /// What to do about it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
    /// How many more of the same kind in the same column are not listed one by one.
    #[serde(skip_serializing_if = "is_zero")]
    pub more: usize,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde calls it with a reference")]
fn is_zero(count: &usize) -> bool {
    *count == 0
}

/// All findings of one reading, in the order of files and lines, with the texts they point into.
#[derive(Clone, Debug, Default)]
pub struct Diagnostics {
    /// The findings.
    pub items: Vec<Diagnostic>,
    /// The texts.
    pub sources: Sources,
}

impl Diagnostic {
    fn new(code: Code, class: Class, severity: Severity, message: impl Into<String>) -> Self {
        let message = message.into();
        Self { code, class, severity, message, labels: Vec::new(), cell: None, help: None, more: 0 }
    }

    pub(crate) fn wrong(code: Code, message: impl Into<String>) -> Self {
        Self::new(code, Class::Wrong, Severity::Error, message)
    }

    pub(crate) fn missing(code: Code, message: impl Into<String>) -> Self {
        Self::new(code, Class::Missing, Severity::Error, message)
    }

    pub(crate) fn warning(code: Code, message: impl Into<String>) -> Self {
        Self::new(code, Class::Note, Severity::Warning, message)
    }

    pub(crate) fn note(code: Code, message: impl Into<String>) -> Self {
        Self::new(code, Class::Note, Severity::Note, message)
    }

    /// Adds a place; the first one added is the place of the finding.
    pub(crate) fn at(mut self, place: Place, text: impl Into<String>) -> Self {
        self.labels.push(Label { place, text: text.into() });
        self
    }

    pub(crate) fn in_cell(mut self, column: impl Into<String>) -> Self {
        self.cell = Some(column.into());
        self
    }

    pub(crate) fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }

    /// The place of the finding.
    #[must_use]
    pub fn place(&self) -> Option<&Place> {
        self.labels.first().map(|label| &label.place)
    }
}
