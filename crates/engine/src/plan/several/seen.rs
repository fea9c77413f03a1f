//! What a pile sees of several parts of one kind a position.

use pairwright_proof::{Item, Pile, Slot};

use super::super::admission::Relaxed;
use super::super::choose::PlanError;
use super::super::layer::Layer;
use super::super::question::Question;
use super::super::setting::pinned_out;
use super::beside::Rule;
use super::bundles::Several;
use crate::job::FitName;
use crate::plan::LimitKind;

impl<'q> Several<'q> {
    /// The bundles of a match, limits over all positions held with their widest guard band.
    pub(crate) fn by_widest_bands(question: &'q Question<'q>) -> Result<Self, PlanError> {
        Ok(Self::laid_out(question, Relaxed::default())?.0)
    }

    /// How many positions take how many of how many parts.
    pub(crate) const fn shape(&self) -> Pile {
        self.pile
    }

    /// The parts to choose from, the solver's items.
    pub(crate) fn usable(&self) -> &[usize] {
        &self.parts
    }

    /// The aim's value of a bundle that may stand there.
    pub(crate) fn aim(&self, slot: Slot, items: &[Item]) -> Option<i64> {
        self.value(slot, items)
    }

    /// Positions side by side.
    pub(crate) fn side_by_side(&self) -> &[(Slot, Slot)] {
        &self.neighbours
    }

    /// The limits on a spread and on neighbours: the fit, the kind, and the ticks that are left of it.
    pub(crate) fn differences(&self) -> Vec<(FitName, LimitKind, i64)> {
        let aim = self.question.matching.aim.fit;
        let difference = |kept: &super::beside::Kept| {
            let fit = match kept.layer {
                Layer::Aim => aim,
                Layer::Fit(name) => name,
                Layer::Moves | Layer::Price | Layer::Bought => return None,
            };
            let ticks = match kept.rule {
                Rule::NoWorse { than, .. } => i64::try_from(than).ok()?,
                Rule::Neighbours(ticks) => ticks,
            };
            Some((fit, self.question.limits.get(kept.of?)?.kind, ticks))
        };
        self.held.iter().filter_map(difference).collect()
    }

    /// Whether a part may take this role, counted within the bundle, of a position; `None` is a part that nobody has named yet.
    pub(crate) fn role_takes(&self, position: usize, at: usize, part: Option<usize>) -> bool {
        let question = self.question;
        let role = at.checked_sub(1).map_or(Some(question.first_role()), |at| question.beside().get(at).copied());
        role.is_some_and(|role| {
            let is_out = pinned_out(question, role, position, part.unwrap_or(usize::MAX));
            !is_out && part.is_none_or(|part| question.may_go(role, position, part))
        })
    }
}
