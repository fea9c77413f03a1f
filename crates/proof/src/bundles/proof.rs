//! The proof as plain data.

use crate::{Item, Slot};

/// A proof that no arrangement is better than a claimed value, or that there is none at all: a tree in the order in which
/// it is walked.
///
/// A serving is a slot with a bundle that it may have; servings are listed by slot, then lexicographically by bundle. For
/// greatest, least and worst values those that miss the claim are out from the start, and so are those that break a
/// limit on such a value. A node is a set of servings still
/// open and a stretch of sums that their values may still have; every step closes the node on top, or opens a node for each
/// way to go on. A node **opens** as follows; it does not, and takes no step, as soon as a slot has no serving left or, where
/// all items are used, an item has none:
///
/// 1. Limit by limit, once each, servings go that break it with any open servings of the other slots: with their least and
///    greatest values (a spread, neighbours), with their least costs (totals and squares from a target, of which no more than
///    the limit may be left), with the servings of the slots that have one value left (squares about the mean; these bound
///    the spread, too).
/// 2. Servings go with which the sum of all slots, the others at their least or at their most, misses the stretch.
/// 3. With the prices in force every serving costs, less those of its items, at least so much in its slot. All slots and all
///    prices of items that must or may be used are a bound. If that is more than the claim leaves, the node does not open;
///    servings go that cost more than their slot's least by more than the rest.
///
/// For totals a value v costs v or, where it shall be great, −v. For squares over n slots with the sum S it costs
/// n·v² − 2·c·v about a sum c: together n·Σv² − 2·c·S, to which 2·c·S − S² are added for squares about the mean, and
/// 2·(c − n·t)·S + n²·t² for n times the squares from a target t; over a stretch of sums both are least at an end.
/// In force from the start are prices of 0, about the known sum or about n·t; about an unknown mean there are none until a
/// step gives some.
///
/// The sum is known from the start where all items are used, every bundle is allowed, and values add up item by item, an
/// item's part being the same in every slot but for a number of the slot's own.
///
/// # References
/// - P. Hall, *On representatives of subsets*, J. London Math. Soc. 10 (1935): too few items for some slots.
/// - A. H. Land and A. G. Doig, *An automatic method of solving discrete programming problems*, Econometrica 28 (1960):
///   the tree (from memory).
/// - A. M. Geoffrion, *Lagrangean relaxation for integer programming*, Math. Program. Study 2 (1974): any prices give a
///   bound (from memory).
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SeveralProof {
    /// The steps.
    pub steps: Vec<SeveralStep>,
}

/// What is done at a node.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SeveralStep {
    /// Closed: these slots, ascending, have fewer items between them than they take (Hall 1935).
    Short(Vec<Slot>),
    /// One node, with these prices in force.
    Prices {
        /// Costs are taken so many times; at least 1.
        scale: i128,
        /// The sum about which squares are taken; of totals it says nothing.
        about: i128,
        /// Items, ascending, whose price is not 0; above 0 only where all items are used.
        items: Vec<(Item, i128)>,
    },
    /// The slot takes one of its servings, in order. A node each.
    Each(Slot),
    /// Where all items are used: the item goes to one of the slots that are open for it, ascending. A node each.
    Seat(Item),
    /// Of a spread: the greatest value is at most the first cut, or else at most the second, …, or above the last. A node
    /// each; cuts ascend.
    Tops(Vec<i64>),
    /// Of squares about the mean: the sum is at most the first cut, or else at most the second, …, or above the last. A
    /// node each; cuts ascend.
    Sums(Vec<i128>),
}

impl SeveralProof {
    /// No longer proof is made, in numbers: 2²².
    pub const MOST_NUMBERS: usize = 1 << 22;

    /// No proof is followed that holds more servings on a branch: 2²⁴, those open at the nodes whose steps left several
    /// ways, each counted anew.
    pub const MOST_HELD: usize = 1 << 24;

    /// How many numbers it takes to write it down, a step itself counted as one.
    pub fn numbers(&self) -> usize {
        self.steps.iter().map(SeveralStep::numbers).sum()
    }
}

impl SeveralStep {
    /// How many numbers it takes to write it down, itself counted as one.
    pub fn numbers(&self) -> usize {
        match self {
            Self::Short(slots) => 1 + slots.len(),
            Self::Prices { items, .. } => 3 + 2 * items.len(),
            Self::Each(_) | Self::Seat(_) => 2,
            Self::Tops(cuts) => 1 + cuts.len(),
            Self::Sums(cuts) => 1 + cuts.len(),
        }
    }
}
