//! Indices that cannot be mixed up.

macro_rules! index {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(u32);

        impl $name {
            /// The one with this number, counted from 0.
            pub const fn new(number: u32) -> Self {
                Self(number)
            }

            /// Its place in a list, counted from 0.
            pub const fn index(self) -> usize {
                self.0 as usize
            }
        }
    };
}

index!(
    /// A part, by its place in the caller's list of parts.
    PartId
);
index!(
    /// A position, by its place in the caller's list of positions.
    PositionId
);
index!(
    /// A bank, by its place in the list of decks given to [`reduce`](super::reduce).
    BankId
);
index!(
    /// A set of parts and positions that readings tie together.
    ComponentId
);
