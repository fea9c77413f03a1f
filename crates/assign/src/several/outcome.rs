//! What comes out where slots take several items.

use crate::outcome::Reason;
use pairwright_proof::{Bundles, Slot};

/// The items of every slot, and what they are worth.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Arrangement {
    /// The items of every slot.
    pub bundles: Bundles,
    /// The measure asked for, in its own unit.
    pub value: i128,
}

/// The answer to a [`SeveralProblem`](super::SeveralProblem).
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SeveralOutcome {
    /// The best value there is; of the arrangements that have it, the first in lexicographic order of bundles.
    Proven(Arrangement),
    /// An arrangement; a better one, or one with the same value that comes before it, may exist.
    BestFound {
        /// The arrangement.
        arrangement: Arrangement,
        /// No arrangement is better than this.
        bound: i128,
        /// Why the search ended.
        reason: Reason,
    },
    /// There is no arrangement.
    Impossible(SeveralShortage),
    /// The search ended before it met an arrangement, and before it was known that there is none.
    Undecided {
        /// No arrangement is better than this.
        bound: i128,
        /// Why the search ended.
        reason: Reason,
    },
}

/// Why there is no arrangement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum SeveralShortage {
    /// The pile is too small.
    TooFew {
        /// How many items all slots take.
        needed: usize,
        /// How many there are.
        items: usize,
    },
    /// A slot may have no bundle at all.
    NoBundle {
        /// The slot.
        slot: Slot,
    },
    /// Every slot has bundles, but they compete for the same items.
    Competing,
}
