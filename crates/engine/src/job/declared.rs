//! Fits that a job declares: signed sums of measured columns.

use super::{FitName, Ledger};
use crate::quantity::Dimension;

/// A fit of the job's own, by its place among them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct DeclaredId(u16);

impl DeclaredId {
    /// The fit at `index` of [`DeclaredFits`].
    #[must_use]
    pub const fn new(index: u16) -> Self {
        Self(index)
    }

    /// Its place.
    #[must_use]
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

/// One column that counts in a declared fit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Term {
    /// Whose column it is: a kind of position, or the role of a part.
    pub owner: String,
    /// The column without its unit.
    pub column: String,
    /// What its values are multiplied by, in millionths: [`Term::ONCE`] adds them, its negative takes them off.
    pub times: i64,
}

impl Term {
    /// The column counts once.
    pub const ONCE: i64 = 1_000_000;

    /// The sum of `times · value` over `terms`, the values in ticks; a half goes to the even tick. `None` where the
    /// sum fits no `i64`.
    ///
    /// ```
    /// use pairwright_engine::job::Term;
    /// assert_eq!(Term::sum([(Term::ONCE, 60_040), (-Term::ONCE, 60_001)]), Some(39));
    /// assert_eq!(Term::sum([(500_000, 7)]), Some(4));
    /// assert_eq!(Term::sum([(Term::ONCE, i64::MAX), (Term::ONCE, 1)]), None);
    /// ```
    pub fn sum(terms: impl IntoIterator<Item = (i64, i64)>) -> Option<i64> {
        let products = terms.into_iter().map(|(times, value)| i128::from(times) * i128::from(value));
        let millionths = products.into_iter().try_fold(0_i128, i128::checked_add)?;
        let (one, half) = (i128::from(Self::ONCE), i128::from(Self::ONCE / 2));
        let (below, rest) = (millionths.div_euclid(one), millionths.rem_euclid(one));
        let up = rest > half || (rest == half && below.rem_euclid(2) == 1);
        i64::try_from(below + i128::from(up)).ok()
    }
}

/// A signed sum of measured columns under a name of the user's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DeclaredFit {
    /// The name in the job file and in output: `main_clearance`.
    pub name: String,
    /// What is summed up; at least one term.
    pub terms: Vec<Term>,
    /// What all terms measure.
    pub dimension: Dimension,
    phrase: String,
}

impl DeclaredFit {
    /// A fit called `name`.
    #[must_use]
    pub fn new(name: String, terms: Vec<Term>, dimension: Dimension) -> Self {
        let phrase = name.replace('_', " ");
        Self { name, terms, dimension, phrase }
    }
}

/// The fits that a job declares, in the order of its file. It answers for the built-in fits and the entries of the
/// ledger, too, so that whoever meets a [`FitName`] asks one place.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DeclaredFits {
    declared: Vec<DeclaredFit>,
    /// Names of the entries of the clearance ledger.
    entries: Vec<String>,
}

impl DeclaredFits {
    /// So many are the most.
    pub const MOST: usize = 1_000;

    /// Takes the fits in the order of the job file; those beyond [`DeclaredFits::MOST`] are dropped.
    #[must_use]
    pub fn new(mut fits: Vec<DeclaredFit>) -> Self {
        fits.truncate(Self::MOST);
        Self { declared: fits, entries: Vec::new() }
    }

    /// The same, which also knows what the entries of a ledger are called.
    #[must_use]
    pub fn with_entries(self, ledger: &Ledger) -> Self {
        Self { entries: ledger.entries.iter().map(|entry| entry.name.clone()).collect(), ..self }
    }

    /// The declared fits with their names, in order.
    pub fn declared(&self) -> impl Iterator<Item = (FitName, &DeclaredFit)> {
        (0..).zip(&self.declared).map(|(index, fit)| (FitName::Declared(DeclaredId::new(index)), fit))
    }

    /// The declared fit behind a name; `None` for a built-in one, and for an id of another job.
    #[must_use]
    pub fn get(&self, fit: FitName) -> Option<&DeclaredFit> {
        match fit {
            FitName::Declared(id) => self.declared.get(id.index()),
            _ => None,
        }
    }

    /// Every fit that a job can name, built in or declared, in the order in which output lists them.
    pub fn all(&self) -> impl Iterator<Item = FitName> {
        FitName::BUILT_IN.into_iter().chain(self.declared().map(|(fit, _)| fit))
    }

    /// The fit called `name`.
    ///
    /// ```
    /// use pairwright_engine::job::{DeclaredFit, DeclaredFits, FitName};
    /// use pairwright_engine::quantity::Dimension;
    /// let fits = DeclaredFits::new(vec![DeclaredFit::new("end_float".into(), Vec::new(), Dimension::Length)]);
    /// let own = fits.named("end_float").expect("declared");
    /// assert_eq!((fits.name(own), fits.phrase(own)), ("end_float", "end float"));
    /// assert_eq!(fits.named("deck"), Some(FitName::Deck));
    /// ```
    #[must_use]
    pub fn named(&self, name: &str) -> Option<FitName> {
        let own = || self.declared().find(|(_, fit)| fit.name == name).map(|(fit, _)| fit);
        FitName::built_in_named(name).or_else(own)
    }

    /// The name in the job file and in output; empty for an id of another job.
    #[must_use]
    pub fn name(&self, fit: FitName) -> &str {
        match fit.built_in() {
            Some(known) => known.name,
            None => self.get(fit).map_or_else(|| self.entry(fit), |fit| &fit.name),
        }
    }

    /// The name in a sentence, blanks for underscores; empty for an id of another job.
    #[must_use]
    pub fn phrase(&self, fit: FitName) -> &str {
        match fit.built_in() {
            Some(known) => known.phrase,
            None => self.get(fit).map_or_else(|| self.entry(fit), |fit| &fit.phrase),
        }
    }

    /// What an entry of the ledger is called.
    fn entry(&self, fit: FitName) -> &str {
        match fit {
            FitName::Entry(id) => self.entries.get(id.index()).map_or("", String::as_str),
            _ => "",
        }
    }

    /// What the fit measures.
    #[must_use]
    pub fn dimension(&self, fit: FitName) -> Dimension {
        match fit.built_in() {
            Some(known) => known.dimension,
            None => self.get(fit).map_or(Dimension::Length, |fit| fit.dimension),
        }
    }
}
