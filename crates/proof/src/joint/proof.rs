//! Why no joint choice is better: every window is closed by steps that need no search to follow.

use crate::{Item, Outer, Side, Slot};

/// A proof that no choice is better than a claimed spread or worst distance: one entry for every outer choice.
///
/// Better means: all values within a window. For a spread of v every window is v − 1 wide, and a choice is covered by the
/// segment that holds its largest value; for a worst distance v from a target there is one window, v − 1 to either side.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JointProof {
    /// For every outer choice, in order, why it has nothing better.
    pub outers: Vec<OuterProof>,
}

/// Why an outer choice has nothing better.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OuterProof {
    /// Its offsets are those of an earlier one or, for spreads of sums, differ from them by one number in all slots.
    Like(Outer),
    /// Every window is closed.
    Windows(Vec<Segment>),
}

/// Neighbouring windows, closed in one go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Segment {
    /// Smallest largest value of the choices covered; for a worst distance it says nothing.
    pub from: i64,
    /// Greatest largest value of the choices covered.
    pub to: i64,
    /// A tree in the order in which it is walked: every step closes its node or opens one node for every way to go on.
    pub steps: Vec<Step>,
}

/// One node of a tree. It speaks of the triples (slot, item, item) that are still open there, once every slot with a
/// single one has driven out what cannot stand beside it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// Closed: these slots have fewer items of a kind between them than they are (Hall 1935).
    Short {
        /// Which kind.
        side: Side,
        /// The slots.
        slots: Vec<Slot>,
    },
    /// Closed: every item is used and adds the same everywhere, so the total is known, and the smallest values of the
    /// slots already exceed it, or the largest do not reach it.
    Total,
    /// A slot takes one of the items of a kind that are open for it, ascending.
    Split {
        /// The slot.
        slot: Slot,
        /// Which kind.
        side: Side,
    },
    /// An item of a kind of which all are used goes to one of the slots that are open for it, ascending.
    Seat {
        /// Which kind.
        side: Side,
        /// The item.
        item: Item,
    },
}
