//! The order of choices, and of parts of which only a bound is known.

use crate::best::score;
use crate::problem::Problem;
use pairwright_proof::Item;
use smallvec::SmallVec;
use std::cmp::Ordering;
use std::sync::Arc;

/// What the criteria come to, turned so that less is better; the first few of them where more is not known.
pub(super) type Scores = SmallVec<[i128; 2]>;

/// Scores, then items in slot order. What is known only up to some place comes before all that goes on there, so that a
/// part's rank is never behind that of one of its choices.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Rank {
    pub(super) scores: Scores,
    pub(super) items: Leading,
}

/// The first items of a choice, and one more.
#[derive(Clone, Debug)]
pub(super) struct Leading {
    choice: Arc<[Item]>,
    kept: usize,
    next: Option<Item>,
}

impl Rank {
    /// Where only scores are known.
    pub(super) fn of_scores(scores: Scores) -> Self {
        Self { scores, items: Leading::of(&Arc::default(), 0, None) }
    }

    /// The place of a choice.
    pub(super) fn of_choice(scores: Scores, choice: &Arc<[Item]>) -> Self {
        Self { scores, items: Leading::of(choice, choice.len(), None) }
    }
}

impl Leading {
    /// So many items of a choice, then this one.
    pub(super) fn of(choice: &Arc<[Item]>, kept: usize, next: Option<Item>) -> Self {
        Self { choice: Arc::clone(choice), kept, next }
    }

    fn iter(&self) -> impl Iterator<Item = Item> + '_ {
        self.choice.iter().take(self.kept).copied().chain(self.next)
    }
}

impl Ord for Leading {
    fn cmp(&self, other: &Self) -> Ordering {
        self.iter().cmp(other.iter())
    }
}

impl PartialOrd for Leading {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Leading {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Leading {}

/// The scores of a choice by every criterion of a problem.
pub(super) fn scores(problem: &Problem<'_>, items: &[Item]) -> Option<Scores> {
    problem.criteria().iter().map(|criterion| score(criterion, items)).collect()
}
