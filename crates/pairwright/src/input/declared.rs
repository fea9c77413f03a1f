//! Columns and fits that a job names itself, as the readers of files see them.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use pairwright_engine::job::{Bounding, DeclaredFits, FitName};
use pairwright_engine::quantity::{Bound, Dimension};

use super::sheet::{Known, Sheet};

/// What the job's declared fits are, and which columns they read.
#[derive(Debug, Default)]
pub(super) struct Declared {
    pub(super) fits: DeclaredFits,
    /// Every column of every term, once.
    pub(super) columns: Vec<FitColumn>,
    /// A fit or a term was refused: a column that nothing seems to use may be one that it meant.
    pub(super) refused: bool,
}

/// A column that a declared fit reads.
#[derive(Clone, Copy, Debug)]
pub(super) struct FitColumn {
    /// The kind whose file it stands in.
    pub(super) owner: &'static str,
    pub(super) name: &'static str,
    /// `None` for a column that the file knows anyway.
    own: Option<(&'static Bound, &'static Bound)>,
}

impl FitColumn {
    /// A column that its file knows anyway.
    pub(super) fn built_in(owner: &str, name: &str) -> Self {
        // Only the names are wanted: what the column measures stands in the sheet.
        let of = |name| kept(name, Dimension::Length, Sort::Value).name;
        Self { owner: of(owner), name: of(name), own: None }
    }

    /// A column that its file knows only through a declared fit.
    pub(super) fn own(owner: &str, name: &str, dimension: Dimension, of_a_part: bool) -> Self {
        let is_size = of_a_part && dimension == Dimension::Length && is_size(name);
        let bound = kept(name, dimension, if is_size { Sort::Size } else { Sort::Value });
        let u_bound = kept(&format!("u_{name}"), dimension, Sort::Uncertainty);
        let owner = kept(owner, Dimension::Length, Sort::Value).name;
        Self { owner, name: bound.name, own: Some((bound, u_bound)) }
    }

    /// What it measures, where its file does not know it anyway.
    pub(super) fn own_dimension(&self) -> Option<Dimension> {
        self.own.map(|(bound, _)| bound.dimension)
    }
}

impl Declared {
    /// The column `name` of the file of `owner`, if a declared fit reads it.
    pub(super) fn column(&self, owner: &str, name: &str) -> Option<&FitColumn> {
        self.columns.iter().find(|column| column.owner == owner && column.name == name)
    }

    /// What the file of `owner` may hold besides what `sheet` knows; limits by position where `sheet` has any.
    pub(super) fn known(&self, owner: &str, sheet: &Sheet<'_>) -> Vec<Known> {
        let own = self.columns.iter().filter(|column| column.owner == owner).filter_map(|column| column.own);
        let both = own.flat_map(|(bound, u_bound)| [bound, u_bound]);
        let mut known: Vec<_> = both.map(|bound| Known { name: bound.name, bound, limit: None }).collect();
        for (fit, declared) in self.fits.declared().filter(|_| sheet.limits) {
            for (side, prefix) in [(Bounding::Min, "min"), (Bounding::Max, "max")] {
                let bound = kept(&format!("{prefix}_{}", declared.name), declared.dimension, Sort::Fit);
                known.push(Known { name: bound.name, bound, limit: Some((fit, side)) });
            }
        }
        known
    }

    /// The range of the standard uncertainty of a column of this job's own, by the column's name.
    pub(super) fn uncertainty_of(&self, name: &str) -> Option<&'static Bound> {
        self.columns.iter().find(|column| column.name == name)?.own.map(|(_, u_bound)| u_bound)
    }
}

/// The range of the values of a fit.
pub(super) fn value_bound(fits: &DeclaredFits, fit: FitName) -> Option<&'static Bound> {
    match fit.built_in() {
        Some(known) => Bound::named(known.name),
        None => fits.get(fit).map(|declared| kept(&declared.name, declared.dimension, Sort::Fit)),
    }
}

/// Words for the size of a part; a height or a depth may as well be counted from a face, and then have either sign.
const SIZES: [&str; 6] = ["thickness", "length", "width", "diameter", "bore", "size"];

/// Whether a column's name ends in a word for a size: `flange_thickness`.
fn is_size(name: &str) -> bool {
    name.rsplit('_').next().is_some_and(|last| SIZES.contains(&last))
}

/// What a range is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Sort {
    /// A column's values.
    Value,
    /// The same of a size, which is never below 0.
    Size,
    /// Their standard uncertainties.
    Uncertainty,
    /// The values of a fit.
    Fit,
}

/// Ranges by name, dimension and sort. Whatever names a value in a message has a name that lives as long as the program;
/// a job names few columns, and each is kept once however often it is read.
static KEPT: Mutex<BTreeMap<(String, Dimension, Sort), &'static Bound>> = Mutex::new(BTreeMap::new());

fn kept(name: &str, dimension: Dimension, sort: Sort) -> &'static Bound {
    let mut all = KEPT.lock().unwrap_or_else(PoisonError::into_inner);
    all.entry((name.to_owned(), dimension, sort)).or_insert_with(|| {
        let most = most(dimension);
        let (min, max) = match sort {
            Sort::Value => (-most, most),
            Sort::Size => (0, most),
            Sort::Uncertainty => (0, most / 100),
            Sort::Fit => (-10 * most, 10 * most),
        };
        let meaning = "a quantity that the job names";
        Box::leak(Box::new(Bound { name: name.to_owned().leak(), meaning, dimension, min, max }))
    })
}

/// The greatest value of a column, in ticks: 3 m, 3,000 cc, 100 kg, 3,000. Thirty-two of them, ten times each, are still
/// inside what the solver calculates with.
const fn most(dimension: Dimension) -> i64 {
    match dimension {
        Dimension::Length | Dimension::Volume | Dimension::Ratio => 3_000 * 1_000_000,
        Dimension::Mass => 100_000 * 10_000,
        Dimension::Money => 0,
    }
}
