//! Labels and figures of one match as text.

use pairwright_engine::job::FitName;
use pairwright_engine::plan::{FitValue, Placement, Summary};
use pairwright_engine::quantity::{Dimension, Unit};

use super::english::{self, GLUE};
use super::figure;
use crate::render::view::View;

/// Labels and figures of one match as text.
#[derive(Clone, Copy, Debug)]
pub(super) struct Words<'a> {
    pub(super) view: View<'a>,
    /// Digits that spreads and prices of the aim's fit are shown with.
    pub(super) decimals: u8,
}

impl<'a> Words<'a> {
    /// Words for a match without a plan: differences are shown with the usual digits.
    pub(super) fn plain(view: View<'a>) -> Self {
        Self { view, decimals: view.unit_of(view.matching.aim.fit).usual_decimals() }
    }

    /// Words for a plan: one digit more where the doubt is so small that it carries meaning.
    pub(super) fn for_plan(view: View<'a>, summary: &Summary) -> Self {
        let unit = view.unit_of(summary.fit);
        let usual = unit.usual_decimals();
        let last_place = unit.ticks_f64() / 10_f64.powi(i32::from(usual));
        let decimals = if summary.expected_spread.doubt() < last_place { usual + 1 } else { usual };
        Self { view, decimals }
    }

    /// The fit that the match is about.
    pub(super) fn aim_fit(self) -> FitName {
        self.view.matching.aim.fit
    }

    /// A fit in a sentence.
    pub(super) fn phrase(self, fit: FitName) -> &'a str {
        self.view.phrase(fit)
    }

    /// The unit of the aim's fit.
    pub(super) fn unit(self) -> Unit {
        self.view.unit_of(self.aim_fit())
    }

    /// The label of a position: `3`.
    pub(super) fn position_id(self, index: usize) -> String {
        label(self.view.position(index))
    }

    /// `cylinder 3`.
    pub(super) fn position(self, index: usize) -> String {
        format!("{}{GLUE}{}", label(self.view.position_kind()), self.position_id(index))
    }

    /// `cylinder 3`, `cylinders 1, 3 and 5`, `no cylinder`.
    pub(super) fn positions(self, indices: &[usize]) -> String {
        let ids: Vec<String> = indices.iter().map(|&index| self.position_id(index)).collect();
        several(self.view.position_kind(), &ids)
    }

    /// The label of a part of the first kind: `C`.
    pub(super) fn part_id(self, index: usize) -> String {
        label(self.view.part_of(self.view.first_kind(), index))
    }

    /// Labels of parts of the first kind: `S4, S9`.
    pub(super) fn part_ids(self, indices: &[usize]) -> String {
        let ids: Vec<String> = indices.iter().map(|&index| self.part_id(index)).collect();
        ids.join(", ")
    }

    /// `piston C`.
    pub(super) fn part(self, index: usize) -> String {
        format!("{}{GLUE}{}", self.kind(), self.part_id(index))
    }

    /// `piston C`, `pistons A, C and D`, `no piston`.
    pub(super) fn parts(self, indices: &[usize]) -> String {
        let ids: Vec<String> = indices.iter().map(|&index| self.part_id(index)).collect();
        several(&self.kind(), &ids)
    }

    /// The first kind: `piston`.
    pub(super) fn kind(self) -> String {
        label(self.view.first_kind())
    }

    /// The value of a fit with its unit and its word: `0.0041 in below`.
    pub(super) fn value(self, fit: FitName, ticks: i64) -> String {
        figure::full_value(fit, ticks, self.view.unit_of(fit))
    }

    /// The size of a difference of the aim's fit: `0.0012 in`.
    pub(super) fn difference(self, ticks: i64) -> String {
        figure::difference(ticks, self.unit(), self.decimals)
    }

    /// The fits that a match shows beside its aim, where the placements have them: those limited or named in `then`,
    /// those that the job declares, and with heads or gaskets to place all that hang on them.
    pub(super) fn other_fits(self, placements: &[Placement]) -> Vec<FitName> {
        let matching = self.view.matching;
        let columns = self.view.positions().map(|positions| positions.limits.as_slice()).unwrap_or_default();
        let asked = |fit: FitName| {
            use pairwright_engine::job::Next;
            matches!(fit, FitName::Declared(_))
                || self.view.places_settings() && !matches!(fit, FitName::Skirt | FitName::Mass)
                || matching.limits.iter().any(|limit| limit.fit == fit)
                || columns.iter().any(|limit| limit.fit == fit)
                || matching.then.iter().flatten().any(|next| *next == Next::Spread(fit))
        };
        let predicted = |fit: FitName| placements.iter().any(|placement| fit_of(placement, fit).is_some());
        let all = self.view.job.fits.all();
        all.filter(|&fit| fit != self.aim_fit() && asked(fit) && predicted(fit)).collect()
    }

    /// The units of the fits, each once.
    pub(super) fn units(self, fits: &[FitName]) -> Vec<Unit> {
        let mut units: Vec<(Dimension, Unit)> = Vec::new();
        for fit in std::iter::once(self.aim_fit()).chain(fits.iter().copied()) {
            let dimension = self.view.job.fits.dimension(fit);
            if !units.iter().any(|(known, _)| *known == dimension) {
                units.push((dimension, self.view.unit_of(fit)));
            }
        }
        units.into_iter().map(|(_, unit)| unit).collect()
    }
}

/// The value of a fit at a placement.
pub(super) fn fit_of(placement: &Placement, fit: FitName) -> Option<&FitValue> {
    placement.fits.iter().find(|value| value.fit == fit)
}

/// A label as it may stand in text: control characters made harmless, blanks glued.
pub(super) fn label(text: &str) -> String {
    let harmless = |c: char| if c.is_control() { '?' } else { c };
    text.chars().map(|c| if c == ' ' { GLUE } else { harmless(c) }).collect()
}

/// Free text such as a title, made harmless; it may wrap at its blanks.
pub(super) fn free_text(text: &str) -> String {
    label(text).replace(GLUE, " ")
}

/// At most so many labels are listed one by one.
const MOST_LISTED: usize = 24;

fn several(kind: &str, ids: &[String]) -> String {
    match ids {
        [] => format!("no{GLUE}{kind}"),
        [only] => format!("{kind}{GLUE}{only}"),
        many => format!("{} {}", english::plural(kind), english::short_list(many, MOST_LISTED)),
    }
}
