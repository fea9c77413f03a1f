//! Slots that take several items each, all from one pile.

use crate::measure::of_values;
use crate::{Item, Measure, Slot, Table};
use std::fmt;

/// Whether it matters which item of a slot plays which role.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Roles {
    /// A slot's items are a set; they are listed ascending.
    Alike,
    /// A slot's first item is not its second one.
    Told,
}

/// How many slots take how many items each out of how many.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Pile {
    /// Number of slots.
    pub slots: usize,
    /// Number of items in the pile.
    pub items: usize,
    /// Number of items that each slot takes.
    pub each: usize,
    /// Whether their order counts.
    pub roles: Roles,
}

/// What a slot with its items is worth, in ticks.
#[derive(Clone, Copy)]
pub enum Worth<'t> {
    /// `base[slot]` + Σ over the slot's items of the table's values. The table is slots × items.
    Sum {
        /// What each slot brings, in ticks.
        base: &'t [i64],
        /// What each item brings to each slot.
        table: &'t Table,
    },
    /// Anything, by slot and items in the order of their roles; `None` forbids it.
    Function(&'t dyn Fn(Slot, &[Item]) -> Option<i64>),
}

/// The items of every slot, in slot order.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Bundles(pub Vec<Vec<Item>>);

/// The first rule that bundles break.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum SeveralFault {
    /// Not one bundle for every slot.
    #[error("{found} bundles were chosen for {expected} slots")]
    Length {
        /// Number of slots.
        expected: usize,
        /// Number of bundles.
        found: usize,
    },
    /// A slot with too few or too many items.
    #[error("slot {slot} has {found} items instead of {expected}")]
    Size {
        /// The slot.
        slot: Slot,
        /// How many it should have.
        expected: usize,
        /// How many it has.
        found: usize,
    },
    /// An item that is not in the pile.
    #[error("there is no item {item}")]
    NoItem {
        /// The item named.
        item: Item,
    },
    /// An item in two places.
    #[error("item {item} was chosen twice")]
    Twice {
        /// The item.
        item: Item,
    },
    /// Items without roles that are not listed ascending.
    #[error("the items of slot {slot} are not in order")]
    Order {
        /// The slot.
        slot: Slot,
    },
    /// A slot must not have these items.
    #[error("slot {slot} must not have its items")]
    Forbidden {
        /// The slot.
        slot: Slot,
    },
    /// The claimed value is not what the bundles are worth.
    #[error("the bundles are worth {actual}, not {claimed}")]
    Value {
        /// The value claimed.
        claimed: i128,
        /// The value found again.
        actual: i128,
    },
    /// A limit over all slots that the bundles break.
    #[error("limit {limit} over all slots is broken")]
    Limit {
        /// Its place among the limits.
        limit: usize,
    },
    /// A value or a target is too far out for exact arithmetic.
    #[error("a value is too far out for exact arithmetic")]
    Overflow,
}

impl fmt::Debug for Worth<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sum { base, table } => f.debug_struct("Sum").field("base", base).field("table", table).finish(),
            Self::Function(_) => f.write_str("Function"),
        }
    }
}

impl Worth<'_> {
    /// The value of a slot with these items, in ticks; `None` if that is forbidden or leaves the `i64`.
    pub fn value(&self, slot: Slot, items: &[Item]) -> Option<i64> {
        match self {
            Self::Sum { base, table } => {
                let start = *base.get(slot.index())?;
                items.iter().try_fold(start, |sum, &item| sum.checked_add(table.get(slot, item)?))
            }
            Self::Function(value) => value(slot, items),
        }
    }
}

/// Whether bundles keep every rule of a pile and are worth the claimed value.
///
/// # Errors
/// The first [`SeveralFault`] found: number and size of bundles, items, order, forbidden bundles, value.
pub fn check_bundles(
    pile: Pile,
    worth: &Worth<'_>,
    measure: Measure,
    bundles: &Bundles,
    claimed: i128,
) -> Result<(), SeveralFault> {
    let Bundles(bundles) = bundles;
    if bundles.len() != pile.slots {
        return Err(SeveralFault::Length { expected: pile.slots, found: bundles.len() });
    }
    let mut seen = vec![false; pile.items];
    let mut values = Vec::with_capacity(bundles.len());
    for (slot, items) in (0..).map(Slot::new).zip(bundles) {
        if items.len() != pile.each {
            return Err(SeveralFault::Size { slot, expected: pile.each, found: items.len() });
        }
        for &item in items {
            let seen = seen.get_mut(item.index()).ok_or(SeveralFault::NoItem { item })?;
            if std::mem::replace(seen, true) {
                return Err(SeveralFault::Twice { item });
            }
        }
        if pile.roles == Roles::Alike && !items.is_sorted() {
            return Err(SeveralFault::Order { slot });
        }
        values.push(i128::from(worth.value(slot, items).ok_or(SeveralFault::Forbidden { slot })?));
    }
    let actual = of_values(measure, &values).map_err(|_| SeveralFault::Overflow)?;
    if actual != claimed {
        return Err(SeveralFault::Value { claimed, actual });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Shape;

    fn check(roles: Roles, bundles: &[&[u32]], claimed: i128) -> Result<(), SeveralFault> {
        // Slot 1 cannot have item 4.
        let table = Table::from_fn(Shape { slots: 2, items: 5 }, |slot, item| {
            ((slot, item) != (Slot::new(1), Item::new(4))).then_some(1 << item.number())
        })
        .unwrap();
        let worth = Worth::Sum { base: &[100, 200], table: &table };
        let bundles = Bundles(bundles.iter().map(|items| items.iter().copied().map(Item::new).collect()).collect());
        check_bundles(Pile { slots: 2, items: 5, each: 2, roles }, &worth, Measure::Total, &bundles, claimed)
    }

    #[test]
    fn sound_bundles_pass_and_each_broken_rule_is_named() {
        use SeveralFault as Fault;
        let slot = Slot::new(1);
        assert_eq!(check(Roles::Alike, &[&[0, 4], &[1, 2]], 300 + 17 + 6), Ok(()));
        assert_eq!(check(Roles::Told, &[&[0, 4], &[2, 1]], 323), Ok(()));
        assert_eq!(check(Roles::Alike, &[&[0, 4], &[2, 1]], 323), Err(Fault::Order { slot }));
        assert_eq!(check(Roles::Alike, &[&[0, 1]], 0), Err(Fault::Length { expected: 2, found: 1 }));
        assert_eq!(check(Roles::Alike, &[&[0, 1], &[2]], 0), Err(Fault::Size { slot, expected: 2, found: 1 }));
        assert_eq!(check(Roles::Alike, &[&[0, 1], &[2, 5]], 0), Err(Fault::NoItem { item: Item::new(5) }));
        assert_eq!(check(Roles::Alike, &[&[0, 1], &[1, 2]], 0), Err(Fault::Twice { item: Item::new(1) }));
        assert_eq!(check(Roles::Alike, &[&[0, 1], &[2, 4]], 0), Err(Fault::Forbidden { slot }));
        let value = Fault::Value { claimed: 322, actual: 323 };
        assert_eq!(check(Roles::Alike, &[&[0, 4], &[1, 2]], 322), Err(value));
    }
}
