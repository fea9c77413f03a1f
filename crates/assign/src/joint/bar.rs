//! What a choice has to reach to be of interest, and the best one so far.

use super::alike::Alike;
use super::ground::Triple;
use pairwright_proof::{Item, JointChoice, Outer};

/// Choices of one key that are kept apart before only the key counts.
const CROWD: usize = 64;

/// First the aim, then the squares about the mean, both in the unit of the search.
pub(crate) type Key = (i128, i128);

/// Only choices with a key up to this one are looked for.
#[derive(Clone, Debug)]
pub(crate) struct Bar {
    pub(crate) key: Key,
    pub(crate) best: Option<JointChoice>,
    met: usize,
}

impl Bar {
    /// Everything up to this value of the aim is welcome.
    pub(crate) fn open(limit: i128) -> Self {
        Self { key: (limit, i128::MAX), best: None, met: 0 }
    }

    /// A choice is known.
    pub(crate) fn known(key: Key, choice: JointChoice) -> Self {
        Self { key, best: Some(choice), met: 0 }
    }

    /// So many choices of this key were met that only better keys are of interest.
    pub(crate) fn is_crowded(&self) -> bool {
        self.met > CROWD
    }

    /// Whether nothing with at least this key is of interest.
    pub(crate) fn is_above(&self, lower: Key) -> bool {
        lower > self.key || (self.is_crowded() && lower >= self.key)
    }

    /// Nothing can be better and nothing equal is of interest.
    pub(crate) fn is_final(&self) -> bool {
        self.is_crowded() && self.key == (0, 0)
    }

    /// Takes a choice if it is better, or equal and earlier in order.
    pub(crate) fn offer(&mut self, key: Key, outer: Outer, picks: &[Triple], alike: &[Alike; 2]) {
        if key > self.key {
            return;
        }
        let choice = choice(outer, picks, alike);
        if key < self.key || self.best.is_none() {
            *self = Self { key, best: Some(choice), met: 1 };
            return;
        }
        self.met += 1;
        if self.best.as_ref().is_none_or(|best| choice < *best) {
            self.best = Some(choice);
        }
    }
}

fn choice(outer: Outer, picks: &[Triple], alike: &[Alike; 2]) -> JointChoice {
    let mut picks = picks.to_vec();
    picks.sort_unstable_by_key(|pick| pick.slot);
    let items = |of: fn(&Triple) -> u16| picks.iter().map(|pick| Item::new(u32::from(of(pick)))).collect::<Vec<_>>();
    JointChoice {
        outer,
        first: alike[0].first_of(&items(|pick| pick.first)),
        second: alike[1].first_of(&items(|pick| pick.second)),
    }
}
