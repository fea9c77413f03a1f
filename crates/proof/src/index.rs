//! Typed indices: a slot is never mistaken for an item.

use std::fmt;

macro_rules! index {
    ($(#[$meta:meta])* $name:ident) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(u32);

        impl $name {
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

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }
    };
}

index!(
    /// A place that takes exactly one item: a row of a table.
    Slot
);
index!(
    /// Something that goes into at most one slot: a column of a table.
    Item
);
