//! What the error of a value is made of, and what two values share of it.

use nalgebra::DMatrix;

use super::given::Given;
use super::source::Source;
use super::{Doubt, Fit, Made, Seat};
use crate::job::FitName;
use crate::reduction::{Pair, Reduction};
use crate::statistics::{Dof, welch_satterthwaite};

/// The error that one source brings: sensitivity times standard uncertainty, with its sign.
#[derive(Clone, Copy, Debug)]
struct Term {
    source: Source,
    u: f64,
    dof: Dof,
}

/// Everything the error of one value is made of, to first order: independent sources, and so many
/// times the error of read deck clearances.
#[derive(Clone, Debug, Default)]
pub struct Budget {
    /// Each source once, in order.
    terms: Vec<Term>,
    /// Each read pair once.
    read: Vec<(Pair, f64)>,
}

impl Budget {
    /// The budget of a deck clearance as read.
    pub(super) fn read(pair: Pair) -> Self {
        Self { terms: Vec::new(), read: vec![(pair, 1.0)] }
    }

    /// Adds a size that the value follows by `sensitivity`.
    #[must_use]
    pub(super) fn with(mut self, given: &Given, sensitivity: f64) -> Self {
        self.add(Term { source: given.source, u: sensitivity * given.u, dof: given.dof });
        self
    }

    /// Adds another value that this one follows by `sensitivity`: what both depend on adds up, or cancels.
    #[must_use]
    pub(super) fn with_all(mut self, other: &Self, sensitivity: f64) -> Self {
        for term in &other.terms {
            self.add(Term { u: sensitivity * term.u, ..*term });
        }
        for &(pair, by) in &other.read {
            match self.read.iter_mut().find(|(known, _)| *known == pair) {
                Some((_, own)) => *own += sensitivity * by,
                None => self.read.push((pair, sensitivity * by)),
            }
        }
        // A pair that cancels brings no error, and no degrees of freedom either.
        self.read.retain(|(_, by)| *by != 0.0);
        self
    }

    /// The variance from sources that no seat in another position with other parts shares.
    #[must_use]
    pub(crate) fn own_variance(&self) -> f64 {
        self.terms.iter().filter(|term| !term.source.may_be_shared()).map(|term| term.u * term.u).sum()
    }

    /// Whether a seat in another position with other parts may share some of the error.
    #[must_use]
    pub(crate) fn is_shared(&self) -> bool {
        !self.read.is_empty() || self.terms.iter().any(|term| term.u != 0.0 && term.source.may_be_shared())
    }

    fn add(&mut self, term: Term) {
        match self.terms.binary_search_by_key(&term.source, |known| known.source) {
            Ok(at) => self.terms[at].u += term.u,
            Err(at) => self.terms.insert(at, term),
        }
    }

    /// Combined standard uncertainty and effective degrees of freedom (JCGM 100:2008, 5.1.2 and G.4.1).
    fn doubt(&self, reduction: Option<&Reduction>) -> Option<Doubt> {
        let mut sources: Vec<(f64, Dof)> = self.terms.iter().map(|term| (term.u * term.u, term.dof)).collect();
        let mut from_line = false;
        if let Some(read) = self.doubt_of_read(reduction)? {
            if self.terms.is_empty() {
                return Some(read);
            }
            from_line = read.from_line;
            sources.push((read.u * read.u, read.dof));
        }
        let variance: f64 = sources.iter().map(|(variance, _)| variance).sum();
        Some(Doubt { u: variance.sqrt(), dof: welch_satterthwaite(&sources), from_line })
    }

    /// What the read deck clearances bring together; nothing where there is none.
    #[expect(clippy::option_option, reason = "none read is another thing than one that cannot be predicted")]
    fn doubt_of_read(&self, reduction: Option<&Reduction>) -> Option<Option<Doubt>> {
        Some(match self.read[..] {
            [] => None,
            [(pair, by)] => {
                let read = reduction?.doubt(pair)?;
                Some(Doubt { u: by.abs() * read.u, ..read })
            }
            _ => Some(reduction?.doubt_of_sum(&self.read)?),
        })
    }

    /// What the sources common to both bring to the covariance.
    fn shared(&self, other: &Self) -> f64 {
        let (mut sum, mut at) = (0.0, 0);
        for term in &self.terms {
            while other.terms.get(at).is_some_and(|other| other.source < term.source) {
                at += 1;
            }
            match other.terms.get(at) {
                Some(same) if same.source == term.source => sum += term.u * same.u,
                Some(_) => {}
                None => break,
            }
        }
        sum
    }
}

/// A fit that is made of given sizes and of read deck clearance.
pub(super) trait Composed: std::fmt::Debug + Sync {
    fn fit(&self) -> FitName;

    /// The value in ticks.
    fn ticks(&self, seat: Seat) -> Option<i64>;

    /// What its error is made of, in ticks; there wherever the value is.
    fn budget(&self, seat: Seat) -> Option<Budget>;

    /// Whether the fit says anything of a seat at all.
    fn concerns(&self, _: Seat) -> bool {
        true
    }

    /// The value taken apart, where it is made of more than one thing.
    fn taken_apart(&self, _: Seat) -> Option<Made> {
        None
    }

    /// The readings that deck clearance comes from.
    fn reduction(&self) -> Option<&Reduction> {
        None
    }
}

impl<T: Composed> Fit for T {
    fn name(&self) -> FitName {
        self.fit()
    }

    fn value(&self, seat: Seat) -> Option<i64> {
        self.ticks(seat)
    }

    fn doubt(&self, seat: Seat) -> Option<Doubt> {
        self.ticks(seat)?;
        self.budget(seat)?.doubt(self.reduction())
    }

    fn errors(&self, seat: Seat) -> Option<Budget> {
        self.ticks(seat)?;
        self.budget(seat)
    }

    fn made(&self, seat: Seat) -> Option<Made> {
        self.taken_apart(seat)
    }

    fn is_about(&self, seat: Seat) -> bool {
        self.concerns(seat)
    }

    fn covariance(&self, seats: &[Seat]) -> DMatrix<f64> {
        let budgets: Vec<Budget> = seats.iter().map(|&seat| self.budget(seat).unwrap_or_default()).collect();
        joint_covariance(&budgets, self.reduction())
    }
}

/// Joint covariance of values with these errors, of one fit or of several, in the products of their ticks: `Σ` over the
/// shared sources, plus `c_a c_b` times the covariance of the read deck clearances.
#[must_use]
pub fn joint_covariance(budgets: &[Budget], reduction: Option<&Reduction>) -> DMatrix<f64> {
    let read: Vec<(usize, Pair, f64)> = budgets
        .iter()
        .enumerate()
        .flat_map(|(at, budget)| budget.read.iter().map(move |&(pair, by)| (at, pair, by)))
        .collect();
    let mut out = DMatrix::from_fn(budgets.len(), budgets.len(), |a, b| budgets[a].shared(&budgets[b]));
    if let Some(reduction) = reduction {
        let pairs: Vec<Pair> = read.iter().map(|&(_, pair, _)| pair).collect();
        let joint = reduction.covariance(&pairs);
        for (row, &(a, _, by_a)) in read.iter().enumerate() {
            for (column, &(b, _, by_b)) in read.iter().enumerate() {
                out[(a, b)] += by_a * by_b * joint[(row, column)];
            }
        }
    }
    out
}
