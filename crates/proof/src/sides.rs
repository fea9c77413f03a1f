//! Conditions beside the chain: neighbours, totals, items that go together.

use crate::{Choice, Item, Measure, Slot, Table, evaluate};

/// Two slots whose values have to lie close together: |v(one) − v(other)| ≤ `most`.
#[derive(Clone, Copy, Debug)]
pub struct Neighbour<'t> {
    /// A slot.
    pub one: Slot,
    /// Its neighbour.
    pub other: Slot,
    /// The values of the pairs.
    pub table: &'t Table,
    /// The largest difference that is still held, in ticks; below 0 nothing holds it.
    pub most: i64,
}

/// A limit on Σ v over all chosen pairs: a price, or with a table of 0 and 1 the number of moves.
#[derive(Clone, Copy, Debug)]
pub struct TotalLimit<'t> {
    /// The values of the pairs.
    pub table: &'t Table,
    /// The smallest total that is still held, in ticks.
    pub least: Option<i128>,
    /// The largest total that is still held, in ticks.
    pub most: Option<i128>,
}

/// An item that brings another one along: whenever `item` is used, in whichever slot, `with` is used too.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Along {
    /// The item that does not come alone.
    pub item: Item,
    /// The item that has to come with it.
    pub with: Item,
}

/// Conditions that a choice has to keep whatever it is worth.
///
/// As everywhere, a pair is allowed when every table named allows it.
#[derive(Clone, Debug, Default)]
pub struct Sides<'t> {
    /// Slots whose values have to lie close together.
    pub neighbours: Vec<Neighbour<'t>>,
    /// Limits on totals.
    pub totals: Vec<TotalLimit<'t>>,
    /// Sets of items of which all are used or none.
    pub together: Vec<Vec<Item>>,
    /// Items that bring others along.
    pub along: Vec<Along>,
    /// Sets of items of which at most one is used.
    pub exclusive: Vec<Vec<Item>>,
}

/// The first side condition that a choice breaks; every number is the place in its list in [`Sides`].
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum SideFault {
    /// Two neighbours are too far apart.
    #[error("the slots of neighbour limit {neighbour} are {difference} apart, more than {most}")]
    Neighbours {
        /// The limit.
        neighbour: usize,
        /// The difference of the two values, in ticks.
        difference: i128,
        /// The largest allowed, in ticks.
        most: i64,
    },
    /// A total is too small.
    #[error("total {total} is {value}, less than {least}")]
    TooLittle {
        /// The limit.
        total: usize,
        /// The total of the choice, in ticks.
        value: i128,
        /// The smallest allowed, in ticks.
        least: i128,
    },
    /// A total is too large.
    #[error("total {total} is {value}, more than {most}")]
    TooMuch {
        /// The limit.
        total: usize,
        /// The total of the choice, in ticks.
        value: i128,
        /// The largest allowed, in ticks.
        most: i128,
    },
    /// Some items of a set are used, but not all.
    #[error("of set {set}, item {used} is used and item {missing} is not")]
    Parted {
        /// The set.
        set: usize,
        /// An item of it that is used.
        used: Item,
        /// An item of it that is not.
        missing: Item,
    },
    /// An item is used without the one it has to bring along.
    #[error("item {} is used without item {}", pair.item, pair.with)]
    Alone {
        /// The pair of items.
        pair: Along,
    },
    /// Two items that exclude each other are used.
    #[error("of set {set}, both item {one} and item {other} are used")]
    Both {
        /// The set.
        set: usize,
        /// An item of it that is used.
        one: Item,
        /// Another one.
        other: Item,
    },
}

impl<'t> Sides<'t> {
    /// Whether there is no condition at all.
    pub fn is_empty(&self) -> bool {
        let Self { neighbours, totals, together, along, exclusive } = self;
        neighbours.is_empty() && totals.is_empty() && together.is_empty() && along.is_empty() && exclusive.is_empty()
    }

    /// Every table named, neighbours first.
    pub fn tables(&self) -> impl Iterator<Item = &'t Table> + '_ {
        let of_neighbours = self.neighbours.iter().map(|neighbour| neighbour.table);
        of_neighbours.chain(self.totals.iter().map(|total| total.table))
    }
}

/// The rules of every side condition; the pairs are known to be allowed by all tables.
pub(crate) fn check(sides: &Sides<'_>, choice: &Choice) -> Result<(), crate::Fault> {
    for (neighbour, limit) in sides.neighbours.iter().enumerate() {
        let difference = value(limit.table, choice, limit.one)?.abs_diff(value(limit.table, choice, limit.other)?);
        let difference = i128::from(difference);
        if difference > i128::from(limit.most) {
            return Err(SideFault::Neighbours { neighbour, difference, most: limit.most }.into());
        }
    }
    for (total, limit) in sides.totals.iter().enumerate() {
        let value = evaluate(Measure::Total, limit.table, choice)?;
        if let Some(least) = limit.least.filter(|&least| value < least) {
            return Err(SideFault::TooLittle { total, value, least }.into());
        }
        if let Some(most) = limit.most.filter(|&most| value > most) {
            return Err(SideFault::TooMuch { total, value, most }.into());
        }
    }
    check_items(sides, choice).map_err(Into::into)
}

fn value(table: &Table, choice: &Choice, slot: Slot) -> Result<i64, crate::Fault> {
    let item = choice.item(slot).ok_or(crate::Fault::NoSlot { slot })?;
    table.get(slot, item).ok_or(crate::Fault::Forbidden { slot, item })
}

fn check_items(sides: &Sides<'_>, choice: &Choice) -> Result<(), SideFault> {
    let is_used = |item: &Item| choice.slot(*item).is_some();
    for (set, items) in sides.together.iter().enumerate() {
        let used = items.iter().copied().find(is_used);
        let missing = items.iter().copied().find(|item| !is_used(item));
        if let (Some(used), Some(missing)) = (used, missing) {
            return Err(SideFault::Parted { set, used, missing });
        }
    }
    for &pair in &sides.along {
        if is_used(&pair.item) && !is_used(&pair.with) {
            return Err(SideFault::Alone { pair });
        }
    }
    for (set, items) in sides.exclusive.iter().enumerate() {
        let mut used = items.iter().copied().filter(is_used);
        if let Some(one) = used.next()
            && let Some(other) = used.find(|&other| other != one)
        {
            return Err(SideFault::Both { set, one, other });
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests;
