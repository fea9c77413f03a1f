//! What a sort of file may hold: its columns, their quantities and units.

use pairwright_engine::job::{Bounding, FitName};
use pairwright_engine::quantity::{Bound, Unit};

/// The columns that a sort of file knows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sheet<'k> {
    /// What the file is, for messages: `a piston stock`.
    pub(super) what: &'k str,
    /// Another name for the column `id`: the kind of the positions.
    pub(super) called: Option<&'k str>,
    /// Columns of words that positions are told apart by, as the job names them.
    pub(super) groups: &'k [String],
    /// Columns of text.
    pub(super) texts: &'static [&'static str],
    /// Columns of values.
    pub(super) measured: &'static [&'static str],
    /// Whether `u_NAME` columns may stand beside the values.
    pub(super) uncertainties: bool,
    /// Whether `min_FIT` and `max_FIT` columns may stand there.
    pub(super) limits: bool,
    /// Columns without which the file says nothing; any name of a group will do.
    pub(super) required: &'static [&'static [&'static str]],
    /// Columns of one quantity that are told apart by a number.
    pub(super) numbered: Option<&'static Numbered>,
    /// Columns that hold another quantity than their name says: the column, the quantity.
    pub(super) meant: &'static [(&'static str, &'static str)],
    /// Value columns that this job names.
    pub(super) declared: &'k [Known],
    /// Some that it names are not known, as that part of the job was refused.
    pub(super) hidden: bool,
}

/// Columns of one quantity, numbered from 1: `chamber_1`, `chamber_2`, each with its `u_` column.
#[derive(Debug)]
pub(super) struct Numbered {
    /// The quantity: `chamber`.
    pub(super) stem: &'static str,
    /// The column that holds for all of them: `u_chamber`.
    pub(super) u_stem: &'static str,
    pub(super) names: &'static [&'static str],
    pub(super) u_names: &'static [&'static str],
}

impl Numbered {
    /// The value column called `name`: its name and its bound.
    fn measure(&self, name: &str) -> Option<(&'static str, &'static Bound)> {
        let among = |names: &'static [&'static str]| names.iter().copied().find(|known| *known == name);
        if let Some(known) = among(self.names) {
            return Some((known, Bound::named(self.stem)?));
        }
        let known = among(self.u_names).or((name == self.u_stem).then_some(self.u_stem))?;
        Some((known, Bound::uncertainty_of(self.stem)?))
    }
}

/// A value column that a sheet knows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Known {
    pub(super) name: &'static str,
    pub(super) bound: &'static Bound,
    /// What it limits, for a `min_FIT` or `max_FIT` column.
    pub(super) limit: Option<(FitName, Bounding)>,
}

/// A header cell as it is looked up: lower case, blanks as underscores.
pub(super) fn normal(text: &str) -> String {
    text.to_ascii_lowercase().replace(' ', "_")
}

impl Sheet<'static> {
    /// What the files of all stocks have in common.
    pub(super) const PARTS: Self = Self {
        what: "a stock",
        called: None,
        groups: &[],
        texts: &["id"],
        measured: &[],
        uncertainties: true,
        limits: false,
        required: &[&["id"]],
        numbered: None,
        meant: &[],
        declared: &[],
        hidden: false,
    };
}

impl<'k> Sheet<'k> {
    /// Every name that may stand in a header, without units.
    pub(super) fn names(&self) -> Vec<&'k str> {
        let first = self.numbered.and_then(|numbered| numbered.names.first()).copied();
        let (texts, measured) = (self.texts.iter().copied(), self.measured.iter().copied());
        let groups = self.groups.iter().map(String::as_str);
        let declared = self.declared.iter().filter(|known| known.limit.is_none() && !known.name.starts_with("u_"));
        let built_in = self.called.into_iter().chain(texts).chain(groups).chain(first).chain(measured);
        built_in.chain(declared.map(|known| known.name)).collect()
    }

    pub(super) fn knows(&self, name: &str) -> bool {
        self.names().contains(&name) || name.starts_with("note") || name.is_empty() || {
            let (stem, unit) = split_unit(name);
            self.measure(name).is_some() || (unit.is_some() && self.measure(stem).is_some())
        }
    }

    /// The bound of the value column called `name`, and what sort of column it is.
    pub(super) fn measure(&self, name: &str) -> Option<Known> {
        if let Some(known) = self.measured.iter().find(|known| **known == name) {
            let meant = self.meant.iter().find(|(column, _)| column == known).map_or(*known, |(_, quantity)| quantity);
            return Some(Known { name: known, bound: Bound::named(meant)?, limit: None });
        }
        if let Some((name, bound)) = self.numbered.and_then(|numbered| numbered.measure(name)) {
            return Some(Known { name, bound, limit: None });
        }
        if let Some(stem) = name.strip_prefix("u_").filter(|stem| self.uncertainties && self.measured.contains(stem)) {
            let bound = Bound::uncertainty_of(stem)?;
            return Some(Known { name: bound.name, bound, limit: None });
        }
        if let Some(known) = self.declared.iter().find(|known| known.name == name) {
            return Some(*known);
        }
        if !self.limits {
            return None;
        }
        let (side, fit) = match (name.strip_prefix("min_"), name.strip_prefix("max_")) {
            (Some(fit), _) => (Bounding::Min, fit),
            (_, Some(fit)) => (Bounding::Max, fit),
            _ => return None,
        };
        let fit = FitName::built_in_named(fit)?;
        let bound = Bound::named(fit.built_in()?.name)?;
        Some(Known { name: bound.name, bound, limit: Some((fit, side)) })
    }
}

/// `bore_mm` to `bore` and its unit.
pub(super) fn split_unit(name: &str) -> (&str, Option<Unit>) {
    match name.rsplit_once('_') {
        Some((stem, unit)) if Unit::from_symbol(unit).is_some() => (stem, Unit::from_symbol(unit)),
        _ => (name, None),
    }
}
