//! What a joint problem is made of.

use crate::{Item, Outer, Shape, Slot, Table};
use std::fmt;

/// An item of the first kind and one of the second.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Couple {
    /// Of the first kind.
    pub first: Item,
    /// Of the second kind.
    pub second: Item,
}

/// How the value of a slot follows from its sum.
#[derive(Clone, Copy)]
pub enum Scale<'a> {
    /// The value is the sum itself, in ticks.
    Sum,
    /// The value is what the function says for a slot and its sum; `None` where the slot must not have that sum.
    ///
    /// Usually monotone (a ratio of a constant of the slot to the sum), which makes sorting faster and nothing else
    /// different: any function that always gives the same answer is allowed. A limit on a value, or on a second
    /// quantity that follows from slot and sum, is said by `None`.
    Map(&'a (dyn Fn(Slot, i64) -> Option<i64> + Sync)),
    /// The value is what the function says for an outer choice, a slot and its two items; `None` where they must not
    /// come together. Tables and couples only forbid; what they hold is not looked at.
    ///
    /// For values that no sum carries, and for limits on a second quantity. It always gives the same answer.
    Free(&'a (dyn Fn(Outer, Slot, Couple) -> Option<i64> + Sync)),
}

impl fmt::Debug for Scale<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Sum => "Sum",
            Self::Map(_) => "Map",
            Self::Free(_) => "Free",
        })
    }
}

/// A slot with its two items.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Filled {
    /// The slot.
    pub slot: Slot,
    /// Its items.
    pub items: Couple,
}

/// Whether two slots, filled so, may stand beside each other under an outer choice.
///
/// For limits on two slots at once: the spread of a second quantity (every two slots within it), neighbours. The order
/// of the two slots makes no difference, and the answer is always the same.
#[derive(Clone, Copy)]
pub struct Beside<'a>(pub &'a (dyn Fn(Outer, Filled, Filled) -> bool + Sync));

impl fmt::Debug for Beside<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Beside")
    }
}

/// A joint problem as plain data.
///
/// The sum of a slot j with items i and k under the outer choice o is `first[j][i] + second[j][k] + offsets[o][j]`, in
/// ticks; [`Scale`] makes a value of it. Where an item adds the same everywhere, its column holds that number plus a
/// part of the slot's own; where it does not (an item's effect weighted by the slot), the table says so. A triple is allowed
/// when both tables allow their pair, no [`Couple`] bars it and the scale gives a value; a choice, when all its triples
/// are and [`Beside`] lets every two of them.
#[derive(Clone, Copy, Debug)]
pub struct JointStatement<'a> {
    /// What items of the first kind add, slots × items; forbidden pairs stay forbidden.
    pub first: &'a Table,
    /// What items of the second kind add, slots × items.
    pub second: &'a Table,
    /// Items that must not meet in one slot.
    pub barred: &'a [Couple],
    /// For every outer choice what it adds to every slot.
    pub offsets: &'a [Vec<i64>],
    /// From sums to values.
    pub scale: Scale<'a>,
    /// Which filled slots may stand beside each other; `None` lets all.
    pub beside: Option<Beside<'a>>,
}

/// Why tables, couples and offsets do not make a joint problem.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum JointStatementError {
    /// The two tables have different numbers of slots.
    #[error("a table of {second} slots stands beside one of {first}")]
    Slots {
        /// Slots of the first table.
        first: usize,
        /// Slots of the second table.
        second: usize,
    },
    /// More slots, or more items of a kind, than there may be.
    #[error("{} slots and {} items are more than {} and {}", shape.slots, shape.items, JointStatement::MOST_SLOTS, JointStatement::MOST_ITEMS)]
    TooLarge {
        /// The shape of the larger table.
        shape: Shape,
    },
    /// There is no outer choice; where there is nothing to choose, one row of zeros says so.
    #[error("there is no outer choice")]
    NoOuter,
    /// An outer choice has not one offset for every slot.
    #[error("outer choice {outer} has {found} offsets for {expected} slots")]
    Offsets {
        /// The outer choice.
        outer: Outer,
        /// Number of slots.
        expected: usize,
        /// Number of offsets.
        found: usize,
    },
    /// An offset is too large to calculate with.
    #[error("the offset {value} of outer choice {outer} at slot {slot} is outside ±{}", Table::LIMIT)]
    Magnitude {
        /// The outer choice.
        outer: Outer,
        /// The slot.
        slot: Slot,
        /// The offset given.
        value: i64,
    },
    /// A couple names an item that is not there.
    #[error("there is no couple of items {} and {}", couple.first, couple.second)]
    NoCouple {
        /// The couple named.
        couple: Couple,
    },
}

impl JointStatement<'_> {
    /// The largest number of slots: 2¹⁰.
    pub const MOST_SLOTS: usize = 1 << 10;
    /// The largest number of items of a kind: 2¹⁶.
    pub const MOST_ITEMS: usize = 1 << 16;
    /// The largest magnitude of a value that a [`Scale`] may give: 2⁴² ticks, which is more than any sum.
    pub const LIMIT: i64 = 1 << 42;

    /// Number of slots.
    pub fn slots(&self) -> usize {
        self.first.shape().slots
    }

    /// Whether the parts fit each other.
    ///
    /// # Errors
    /// The first [`JointStatementError`] found.
    pub fn check(&self) -> Result<(), JointStatementError> {
        let (first, second) = (self.first.shape(), self.second.shape());
        if first.slots != second.slots {
            return Err(JointStatementError::Slots { first: first.slots, second: second.slots });
        }
        for shape in [first, second] {
            if shape.slots > Self::MOST_SLOTS || shape.items > Self::MOST_ITEMS {
                return Err(JointStatementError::TooLarge { shape });
            }
        }
        if self.offsets.is_empty() {
            return Err(JointStatementError::NoOuter);
        }
        for (outer, offsets) in (0..).map(Outer::new).zip(self.offsets) {
            check_offsets(outer, offsets, first.slots)?;
        }
        let outside = |c: &&Couple| c.first.index() >= first.items || c.second.index() >= second.items;
        match self.barred.iter().find(outside) {
            Some(&couple) => Err(JointStatementError::NoCouple { couple }),
            None => Ok(()),
        }
    }

    /// The sum of a slot; `None` if a table forbids its pair or does not hold it, or there is no such outer choice.
    pub fn sum(&self, outer: Outer, slot: Slot, items: Couple) -> Option<i64> {
        let offset = self.offsets.get(outer.index())?.get(slot.index())?;
        let sum = self.first.get(slot, items.first)?.checked_add(self.second.get(slot, items.second)?)?;
        sum.checked_add(*offset)
    }

    /// Whether two filled slots may stand beside each other.
    pub fn may_stand(&self, outer: Outer, one: Filled, other: Filled) -> bool {
        self.beside.is_none_or(|Beside(may)| may(outer, one, other))
    }

    /// The value of a slot; `None` where a table or the scale forbids it. Couples are not looked at.
    pub fn value(&self, outer: Outer, slot: Slot, items: Couple) -> Option<i64> {
        let sum = self.sum(outer, slot, items)?;
        match self.scale {
            Scale::Sum => Some(sum),
            Scale::Map(map) => map(slot, sum),
            Scale::Free(free) => free(outer, slot, items),
        }
    }
}

fn check_offsets(outer: Outer, offsets: &[i64], slots: usize) -> Result<(), JointStatementError> {
    if offsets.len() != slots {
        return Err(JointStatementError::Offsets { outer, expected: slots, found: offsets.len() });
    }
    let mut placed = (0..).map(Slot::new).zip(offsets);
    match placed.find(|&(_, offset)| !(-Table::LIMIT..=Table::LIMIT).contains(offset)) {
        Some((slot, &value)) => Err(JointStatementError::Magnitude { outer, slot, value }),
        None => Ok(()),
    }
}
