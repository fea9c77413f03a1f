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
    best: Option<(Key, JointChoice)>,
    /// Choices of equal aim are told apart.
    settles_ties: bool,
    met: usize,
}

impl Bar {
    /// Any choice up to this value of the aim, and from then on only such as are better by the aim.
    pub(crate) fn aim(limit: i128) -> Self {
        Self { key: (limit, i128::MAX), best: None, settles_ties: false, met: 0 }
    }

    /// A choice is known; better ones by the whole key, and equal ones that come before it.
    pub(crate) fn ties(key: Key, choice: JointChoice) -> Self {
        Self { key, best: Some((key, choice)), settles_ties: true, met: 0 }
    }

    pub(crate) fn best(&self) -> Option<&(Key, JointChoice)> {
        self.best.as_ref()
    }

    /// Whether only the aim counts.
    pub(crate) fn is_about_aim(&self) -> bool {
        !self.settles_ties
    }

    /// Whether squares matter to anything that is at the bar by the aim.
    pub(crate) fn asks_squares(&self, aim: i128) -> bool {
        self.settles_ties && aim <= self.key.0
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
        self.key.0 < 0 || (self.is_crowded() && self.key == (0, 0))
    }

    /// Takes a choice if it is better, or equal and earlier in order.
    pub(crate) fn offer(&mut self, key: Key, outer: Outer, picks: &[Triple], alike: &[Alike; 2]) {
        if key > self.key {
            return;
        }
        let choice = choice(outer, picks, alike);
        if !self.settles_ties {
            self.key.0 = key.0 - 1;
            self.best = Some((key, choice));
        } else if key < self.key {
            *self = Self { met: 1, ..Self::ties(key, choice) };
        } else {
            self.met += 1;
            if self.best.as_ref().is_none_or(|(_, best)| choice < *best) {
                self.best = Some((key, choice));
            }
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
