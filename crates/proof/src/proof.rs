//! Why a claimed optimum is one, as plain data.
//!
//! A proof refutes, level by level of a chain, that a better choice exists: that some choice keeps every rule,
//! is within the limits that the earlier levels leave, and scores better than the best value claimed. Scores are
//! values turned so that
//! less is better; an earlier level leaves a limit of its best score plus its slack, the level itself one of its best
//! score
//! minus 1. A refutation divides the choices there could be and takes pairs away until what is left is empty.

use crate::{Choice, Item, Slot};

/// The proof of the first levels of a chain.
///
/// `levels.len()` says how many levels carry a proof: all from the first on. The last tie (which of equally good
/// choices
/// comes first in order) carries none.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Proof {
    /// One entry a level, the most important criterion first.
    pub levels: Vec<Level>,
}

/// The proof of one level.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Level {
    /// The best value of the criterion, given the levels before.
    pub best: i128,
    /// A choice that has it; `None` if the answer itself does. Needed only where a criterion gave some slack.
    pub witness: Option<Choice>,
    /// Why nothing is better.
    pub reason: Refutation,
}

/// Why no choice is left.
///
/// All levels of type greatest, least and worst deviation have taken away their pairs beyond the limit before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refutation {
    /// The level's limit is below 0, and its measure never is.
    Never,
    /// These slots have only these items between them, which are fewer (Hall 1935). Ascending.
    Slots {
        /// The slots.
        slots: Vec<Slot>,
        /// All items that any of the slots may take.
        items: Vec<Item>,
    },
    /// These items must all be used and fit only these slots, which are fewer. Ascending.
    Items {
        /// The items.
        items: Vec<Item>,
        /// All slots that may take any of the items.
        slots: Vec<Slot>,
    },
    /// Prices bound a total, or squares from a target.
    Prices {
        /// The level whose measure is priced.
        level: usize,
        /// The prices.
        prices: Prices,
        /// Where the bound is not above the level's limit: why none of the pairs that may still be used makes a choice.
        then: Option<Box<Refutation>>,
    },
    /// Prices bound the squares about the mean, for one stretch of sums of the values after the other.
    Sums {
        /// The level whose measure is priced.
        level: usize,
        /// The stretches, ascending; together all sums.
        runs: Vec<SumRun>,
    },
    /// A spread is limited: for one stretch of smallest values after the other, why no choice is inside.
    Windows {
        /// What limits the spread.
        of: Narrow,
        /// The stretches, ascending, the last one up to [`i64::MAX`].
        runs: Vec<WindowRun>,
    },
}

/// What limits a spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Narrow {
    /// The level with this place in the chain, a least spread.
    Level(usize),
    /// The window with this place among the windows.
    Window(usize),
}

/// Prices that bound the cost of every choice from below.
///
/// A pair's cost is at least its slot's price plus its item's price. An item's price is at most 0 unless the item
/// must be
/// used. So every choice costs at least all prices together, B, and one that costs at most B + d uses only pairs that
/// cost at most d more than their prices, and every item whose price is below −d.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Prices {
    /// One price a slot.
    pub slots: Vec<i128>,
    /// Items, ascending, whose price is not 0.
    pub items: Vec<(Item, i128)>,
}

/// A stretch of sums S = Σv: those above the one before, up to `until`.
///
/// With n slots a pair costs n·v² − 2·about·v. If no choice costs less than B, then n·Σv² − S² ≥ B + 2·about·S − S²
/// for a choice with the sum S; on
/// a stretch this is least at one of its ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SumRun {
    /// The last sum of the stretch.
    pub until: i128,
    /// The sum about which costs are taken.
    pub about: i128,
    /// The prices for it.
    pub prices: Prices,
    /// Where the bound is not above the level's limit: why none of the pairs that may still be used makes a choice.
    pub then: Option<Box<Refutation>>,
}

/// A stretch of smallest values: those above the one before, up to `until`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WindowRun {
    /// The last smallest value of the stretch.
    pub until: i64,
    /// Why no choice has all its values from the stretch's first smallest value up to `until` plus the width.
    pub reason: Refutation,
}
