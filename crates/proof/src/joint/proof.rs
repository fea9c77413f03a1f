//! Why no joint choice is better: every window is closed by steps that need no search to follow.

use crate::{Item, Outer, Side, Slot};

/// A proof that no choice is better than a claimed value, or that there is none: one entry for every outer choice.
///
/// For spreads and worst distances better means: all values within a window. For a spread of v every window is v − 1 wide,
/// and a choice is covered by the segment that holds its largest value; for a worst distance v from a target there is one
/// window, v − 1 to either side.
///
/// For totals and squares better means: the costs of all slots come to less. Totals and squares from a target have one
/// segment. Squares about the mean are priced about the middle T of a stretch of sums: with n slots and the sum S,
/// Σ(n·v − T)² = n·q + n·(S − T)² for the squares q; a choice is covered by the segment that holds its sum. Where all
/// choices are known to have one sum, squares of both kinds are priced about that, and there is one segment.
///
/// That there is no choice takes one segment, which covers everything.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JointProof {
    /// For every outer choice, in order, why it has nothing better.
    pub outers: Vec<OuterProof>,
}

impl JointProof {
    /// No proof is made that would have more steps: 2²⁰.
    pub const MOST_STEPS: usize = 1 << 20;
}

/// Why an outer choice has nothing better.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OuterProof {
    /// Its offsets are those of an earlier one or, for spreads of sums, differ from them by one number in all slots; where
    /// there is no choice of sums at all, they do not matter.
    Like(Outer),
    /// Every window is closed.
    Windows(Vec<Segment>),
}

/// Neighbouring windows, closed in one go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Segment {
    /// Smallest largest value of the choices covered, or for squares about the mean their smallest sum; where there is one
    /// segment it says nothing.
    pub from: i64,
    /// Greatest largest value, or greatest sum, of the choices covered.
    pub to: i64,
    /// A tree in the order in which it is walked: every step closes its node or opens one node for every way to go on.
    pub steps: Vec<Step>,
}

/// One node of a tree. It speaks of the triples (slot, item, item) that are still open there, once every slot with a
/// single one has driven out what cannot stand beside it and, for totals and squares, triples are out that cost too much
/// or lead to a sum outside the segment even if all other slots take what is best for them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// Closed: these slots have fewer items of a kind between them than they are (Hall 1935).
    Short {
        /// Which kind.
        side: Side,
        /// The slots.
        slots: Vec<Slot>,
    },
    /// Closed: every triple has one of these items, which are fewer than the slots (König 1931).
    Cover {
        /// Items of the first kind.
        first: Vec<Item>,
        /// Items of the second kind.
        second: Vec<Item>,
    },
    /// Closed: every item is used and adds the same everywhere, so the total is known, and the smallest values of the
    /// slots already exceed it, or the largest do not reach it. For totals and squares so for the sums that the claim or
    /// the segment leaves.
    Total,
    /// Closed, of totals and squares: the least costs of all slots come to too much already.
    Costs,
    /// A slot takes one of the items of a kind that are open for it, ascending.
    Split {
        /// The slot.
        slot: Slot,
        /// Which kind.
        side: Side,
    },
    /// An item that has to be used, by itself or as all of its kind, goes to one of the slots that are open for it,
    /// ascending; closed if there are none.
    Seat {
        /// Which kind.
        side: Side,
        /// The item.
        item: Item,
    },
}
