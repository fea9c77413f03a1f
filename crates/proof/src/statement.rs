//! What is asked: criteria in order, windows, changes.

use crate::{Item, Measure, Slot, Table};

/// Which way a criterion is to go.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Sense {
    /// The smaller, the better.
    Least,
    /// The larger, the better.
    Most,
}

/// One criterion of a chain: the best value of a measure, given what the criteria before it left open.
#[derive(Clone, Copy, Debug)]
pub struct Criterion<'t> {
    /// The values of the pairs.
    pub table: &'t Table,
    /// What of them counts.
    pub measure: Measure,
    /// Which way.
    pub sense: Sense,
    /// By how much, in the measure's own unit, the value may be worse than the best one for the sake of the
    /// criteria after it; not negative.
    pub slack: i64,
}

/// A limit on a second quantity: over the chosen pairs, largest minus smallest value is at most `width`.
#[derive(Clone, Copy, Debug)]
pub struct Window<'t> {
    /// The values of the pairs.
    pub table: &'t Table,
    /// The widest spread that is still held, in ticks.
    pub width: i64,
}

/// Small changes of a problem that leave its tables alone.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Changes {
    /// Pairs that must be chosen.
    pub forced: Vec<(Slot, Item)>,
    /// Pairs that must not be chosen, beyond those the tables forbid.
    pub forbidden: Vec<(Slot, Item)>,
    /// Items that must stay out.
    pub left_out: Vec<Item>,
    /// Items that must be used, in whichever slot.
    pub brought_in: Vec<Item>,
}

/// A whole problem as plain data.
///
/// A pair is allowed when every table named allows it and no change forbids it.
#[derive(Clone, Copy, Debug)]
pub struct Statement<'a> {
    /// The chain, the most important first.
    pub criteria: &'a [Criterion<'a>],
    /// Limits on further quantities.
    pub windows: &'a [Window<'a>],
    /// Forced and forbidden pairs, items left out and brought in.
    pub changes: &'a Changes,
}
