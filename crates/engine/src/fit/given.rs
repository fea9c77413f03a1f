//! Sizes as they are given: a value, how well it is known, and whose error it is.

use super::source::{Owner, Size, Source};
use crate::job::{Columns, Job, Typed};
use crate::quantity::Amount;
use crate::statistics::Dof;

/// A size with its standard uncertainty, both in ticks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Given {
    pub(super) value: f64,
    pub(super) u: f64,
    pub(super) dof: Dof,
    pub(super) source: Source,
}

impl Given {
    /// A typed value: its uncertainty is taken for known.
    pub(super) fn typed(typed: Typed, source: Source) -> Self {
        Self { value: typed.value as f64, u: typed.u, dof: Dof::INFINITE, source }
    }
}

/// A size of every part of a stock, or of every position, by index.
#[derive(Clone, Debug, Default)]
pub(super) struct Sizes(Vec<Option<Given>>);

impl Sizes {
    /// The size at `index`; `None` where none was given.
    pub(super) fn at(&self, index: usize) -> Option<&Given> {
        self.0.get(index)?.as_ref()
    }

    /// Whether none was given at all.
    pub(super) fn is_empty(&self) -> bool {
        self.0.iter().all(Option::is_none)
    }

    /// Whether all have one value, or none has any.
    pub(super) fn are_alike(&self) -> bool {
        self.0.windows(2).all(|pair| pair[0].map(|given| given.value) == pair[1].map(|given| given.value))
    }
}

/// A size common to the whole engine; `name` is its key in `[uncertainty]`.
pub(super) fn of_engine(job: &Job, size: Size, name: &str, amount: Option<Amount>) -> Option<Given> {
    amount.map(|amount| Given::typed(Typed::new(amount, job.stated_uncertainty(name)), Source::common(size)))
}

/// The column `name` of the stock of `kind`.
pub(super) fn of_stock(job: &Job, kind: &str, owner: Owner, size: Size, name: &str) -> Sizes {
    job.stock(kind).map(|stock| column(job, &stock.columns, owner, size, name)).unwrap_or_default()
}

/// The column `name` of the cylinders, and `common` where a cylinder has none of its own.
pub(super) fn of_cylinders(job: &Job, size: Size, name: &str, common: Option<Given>) -> Sizes {
    let Some(cylinders) = job.positions("cylinder") else { return Sizes::default() };
    let own = column(job, &cylinders.columns, Owner::Cylinder, size, name);
    Sizes((0..cylinders.len()).map(|position| own.at(position).copied().or(common)).collect())
}

/// The column `name` among `columns`, which belong to `owner`.
pub(super) fn column(job: &Job, columns: &Columns, owner: Owner, size: Size, name: &str) -> Sizes {
    let typed = columns.with_uncertainty(name, job.stated_uncertainty(name));
    let given = |(index, typed): (usize, Option<Typed>)| Some(Given::typed(typed?, Source::of(owner, index, size)));
    Sizes(typed.into_iter().enumerate().map(given).collect())
}
