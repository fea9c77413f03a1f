//! Why no choice that keeps side conditions is better, as plain data.

use crate::{Choice, Item, Prices, Slot};

/// A proof under side conditions.
///
/// A tree says why no choice is left. It is written in the order in which it is walked. At every node the checker first
/// takes away what the conditions rule out by themselves, again and again until nothing changes:
///
/// - an item that is the only one of a slot from all other slots, and all others from the only slot of an item that must
///   be used;
/// - items that cannot be used, and those that have to be, by the conditions on items that go together, bring others along
///   or exclude each other;
/// - pairs that cost more than a limit on a total or on squares leaves, the other slots at their least;
/// - values too far from those that a slot has to have, where a spread is limited; a limit on squares about the mean
///   limits it, too: they are at least n/2 times the spread squared;
/// - values of neighbours that no value of the other slot is close enough to (Mackworth 1977).
///
/// A node that is empty then, or whose squares about the mean come to too much even if every slot may take any number
/// between its least and its greatest value, is closed and takes no step. Any other takes the next step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SidedProof {
    /// Nothing is better by the first levels of the chain, as many as are here.
    Levels(Vec<SidedLevel>),
    /// There is no choice at all: a tree with the windows and the side conditions for its limits.
    Impossible(Vec<SidedStep>),
}

/// The proof of one level.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SidedLevel {
    /// The best value of the criterion, given the levels before.
    pub best: i128,
    /// A choice that has it; `None` if the answer itself does. Needed only where the criterion gave some slack.
    pub witness: Option<Choice>,
    /// Why nothing is better: a tree with the levels before for further limits, and this one's best score less 1.
    pub steps: Vec<SidedStep>,
}

/// What limits choices.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Held {
    /// The level with this place in the chain.
    Level(usize),
    /// The window with this place among the windows.
    Window(usize),
    /// The smallest total of the limit with this place among the totals.
    Least(usize),
    /// The largest total of the limit with this place among the totals.
    Most(usize),
}

/// One node of a tree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SidedStep {
    /// Closed: these slots have fewer items between them than they are (Hall 1935). Ascending.
    Slots(Vec<Slot>),
    /// Closed: these items must all be used and have fewer slots between them than they are. Ascending.
    Items(Vec<Item>),
    /// Prices for a sum of limited costs, each times a weight of at least 0; a choice costs at most as much as the limits,
    /// so weighted, come to (Geoffrion 1974 for more than one). The node is closed if the prices come to more; else it
    /// goes on with the pairs that cost little enough.
    Prices {
        /// Limits on totals or on squares from a target, with their weights.
        of: Vec<(Held, i128)>,
        /// The prices.
        prices: Prices,
    },
    /// Where the spread of a table is limited to a width: the smallest value is at most `at`, so that no value is above
    /// `at` plus the width; or all values are above `at`. Two nodes.
    Halve {
        /// The limit: a spread, or squares about the mean.
        of: Held,
        /// The value.
        at: i64,
    },
    /// The slot takes one of the items that are open for it, ascending. A node each.
    Split(Slot),
}
