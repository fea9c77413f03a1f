//! What a fit lacks, said in one go.

use std::sync::Arc;

use super::deck::DeckFit;
use crate::job::FitName;
use crate::plan::Lack;

/// Collects what is missing.
#[derive(Debug, Default)]
pub(super) struct Wanting(Vec<String>);

impl Wanting {
    /// `value` if it is there; notes `what` otherwise.
    pub(super) fn need<T>(&mut self, value: Option<T>, what: &str) -> Option<T> {
        if value.is_none() {
            self.note(what);
        }
        value
    }

    /// Notes something missing, once.
    pub(super) fn note(&mut self, what: &str) {
        if !self.0.iter().any(|known| known == what) {
            self.0.push(what.to_owned());
        }
    }

    /// Deck clearance, or what it lacks.
    pub(super) fn deck<'j>(&mut self, deck: Result<&Arc<DeckFit<'j>>, &Lack>) -> Option<Arc<DeckFit<'j>>> {
        deck.map_err(|lack| self.note(&lack.what)).ok().cloned()
    }

    /// Everything missing as one lack of `fit`.
    pub(super) fn lack(self, fit: FitName) -> Lack {
        Lack { fit, what: self.0.join("; ") }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}
