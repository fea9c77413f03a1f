//! What a joint choice is: an outer choice and two items a slot.

use crate::{Choice, Item, Slot};
use std::fmt;

/// One of the outer choices: a row of [`JointStatement::offsets`](crate::JointStatement::offsets).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Outer(u32);

impl Outer {
    /// The one with this number, counted from 0.
    pub const fn new(number: u32) -> Self {
        Self(number)
    }

    /// Its number, counted from 0.
    pub const fn number(self) -> u32 {
        self.0
    }

    /// Its number as an index into a vector.
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

impl fmt::Display for Outer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// An outer choice, and for every slot an item of the first kind and one of the second.
///
/// The order is that of ties: outer choice, then the items of the first kind in slot order, then those of the second.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JointChoice {
    /// The outer choice.
    pub outer: Outer,
    /// The item of the first kind of every slot.
    pub first: Choice,
    /// The item of the second kind of every slot.
    pub second: Choice,
}

impl JointChoice {
    /// Every slot with its item of the first and of the second kind, slots ascending.
    pub fn triples(&self) -> impl Iterator<Item = (Slot, Item, Item)> + '_ {
        self.first.pairs().zip(self.second.items()).map(|((slot, first), &second)| (slot, first, second))
    }
}
