//! Effort that the dozens of questions of an explanation share.

use std::sync::atomic::{AtomicU64, Ordering};

/// One question in so many may use up its whole share without leaving the others less than most of what was there.
const PART: u64 = 8;

/// Partial plans that may be looked at in all: a question that ends early has used up its share, and those after it get less.
///
/// What each gets depends on the questions before it alone, so a job that is asked the same questions in the same order gets
/// the same answers.
#[derive(Debug)]
pub(super) struct Purse {
    left: AtomicU64,
    least: u64,
}

impl Purse {
    /// A first share of `first`, and never less than `least`.
    pub(super) fn new(first: u64, least: u64) -> Self {
        Self { left: AtomicU64::new(first * PART), least }
    }

    /// What the next question may use.
    pub(super) fn share(&self) -> u64 {
        (self.left.load(Ordering::Relaxed) / PART).max(self.least)
    }

    /// Takes out a share that was used up.
    pub(super) fn spend(&self, share: u64) {
        let left = self.left.load(Ordering::Relaxed);
        self.left.store(left.saturating_sub(share), Ordering::Relaxed);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_shrink_as_they_are_used_up_and_all_of_them_are_bounded() {
        let purse = Purse::new(1_000, 10);
        assert_eq!([purse.share(), purse.share()], [1_000, 1_000], "nothing was spent");
        let mut spent = 0;
        for _ in 0..100 {
            let share = purse.share();
            purse.spend(share);
            spent += share;
        }
        assert_eq!(purse.share(), 10);
        assert!(spent <= 8_000 + 100 * 10, "{spent}");
    }
}
