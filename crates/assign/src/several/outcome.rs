//! What comes out where slots take several items.

use super::prove::Unproven;
use crate::outcome::Reason;
use pairwright_proof::{Bundles, SeveralProof, Slot};

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
    /// The best value there is.
    Proven {
        /// The arrangement.
        arrangement: Arrangement,
        /// Which of the arrangements that have the value it is.
        tie: Tie,
        /// Why none is better, for [`check_several_proof`](pairwright_proof::check_several_proof).
        proof: SeveralProof,
    },
    /// The search came to its end by itself and says that nothing is better, but nobody can check it: there is no proof.
    Searched {
        /// The best arrangement, and the first of those with its value; `None` if there is none at all.
        arrangement: Option<Arrangement>,
        /// Why there is no proof.
        why: Unproven,
    },
    /// An arrangement; a better one may exist.
    BestFound {
        /// The arrangement.
        arrangement: Arrangement,
        /// No arrangement is better than this, says the search.
        bound: i128,
        /// Why the search ended.
        reason: Reason,
    },
    /// There is no arrangement.
    Impossible {
        /// Why.
        shortage: SeveralShortage,
        /// The same for [`check_several_impossible`](pairwright_proof::check_several_impossible).
        proof: SeveralProof,
    },
    /// The search ended before it met an arrangement, and before it was known that there is none.
    Undecided {
        /// No arrangement is better than this, says the search.
        bound: i128,
        /// Why the search ended.
        reason: Reason,
    },
}

impl SeveralOutcome {
    /// The arrangement, if there is one.
    pub fn arrangement(&self) -> Option<&Arrangement> {
        match self {
            Self::Proven { arrangement, .. } | Self::BestFound { arrangement, .. } => Some(arrangement),
            Self::Searched { arrangement, .. } => arrangement.as_ref(),
            Self::Impossible { .. } | Self::Undecided { .. } => None,
        }
    }
}

/// Which of the arrangements of the same value one is. The search says so; no proof speaks of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tie {
    /// The first in lexicographic order of bundles.
    First,
    /// Any of them.
    Open,
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
