//! Sizes as they are given: a value, how well it is known, and whose error it is.

use std::collections::BTreeMap;

use super::source::{Owner, Size, Source};
use crate::job::{CYLINDER, Columns, Job, Positions, Typed};
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

    /// The same sizes with other values; how well they are known stays.
    pub(super) fn changed(mut self, value: impl Fn(usize, f64) -> f64) -> Self {
        for (index, given) in self.0.iter_mut().enumerate() {
            *given = given.map(|given| Given { value: value(index, given.value), ..given });
        }
        self
    }

    /// The sizes, those of one value and one uncertainty being one and the same thing: they share the error of the first.
    pub(super) fn alike_as_one(mut self) -> Self {
        let mut firsts: BTreeMap<(u64, u64), Source> = BTreeMap::new();
        for given in self.0.iter_mut().flatten() {
            let source = given.source;
            given.source = *firsts.entry((given.value.to_bits(), given.u.to_bits())).or_insert(source);
        }
        self
    }

    /// So many sizes: these, and `common` where there is none.
    pub(super) fn or(&self, common: Option<Given>, number: usize) -> Self {
        Self((0..number).map(|index| self.at(index).copied().or(common)).collect())
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
    let cylinders = job.positions(CYLINDER);
    cylinders.map(|cylinders| of_positions(job, cylinders, (Owner::Cylinder, size), name, common)).unwrap_or_default()
}

/// The column `name` of `positions`, and `common` where a position has none of its own.
pub(super) fn of_positions(
    job: &Job,
    positions: &Positions,
    (owner, size): (Owner, Size),
    name: &str,
    common: Option<Given>,
) -> Sizes {
    let own = column(job, &positions.columns, owner, size, name);
    own.or(common, positions.len())
}

/// The column `name` among `columns`, which belong to `owner`.
pub(super) fn column(job: &Job, columns: &Columns, owner: Owner, size: Size, name: &str) -> Sizes {
    let typed = columns.with_uncertainty(name, job.stated_uncertainty(name));
    let given = |(index, typed): (usize, Option<Typed>)| Some(Given::typed(typed?, Source::of(owner, index, size)));
    Sizes(typed.into_iter().enumerate().map(given).collect())
}
