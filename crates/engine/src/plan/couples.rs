//! Which two parts may come together in which positions: a bit for each.

use pairwright_assign::{Couple, Item, Slot};

/// Positions × parts of the first role × parts of the second, numbered in that order.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Numbering {
    pub(super) positions: usize,
    pub(super) firsts: usize,
    pub(super) seconds: usize,
}

impl Numbering {
    /// How many numbers there are.
    pub(super) fn count(self) -> usize {
        self.positions * self.firsts * self.seconds
    }

    /// The number of two parts in a position.
    pub(super) fn number(self, slot: Slot, items: Couple) -> usize {
        (slot.index() * self.firsts + items.first.index()) * self.seconds + items.second.index()
    }

    /// The position and the two parts of a number; `None` beyond what the solver can count.
    pub(super) fn named(self, number: usize) -> Option<(Slot, Couple)> {
        let item = |part: usize| u32::try_from(part).ok().map(Item::new);
        let (row, second) = (number / self.seconds, number % self.seconds);
        let items = Couple { first: item(row % self.firsts)?, second: item(second)? };
        Some((Slot::new(u32::try_from(row / self.firsts).ok()?), items))
    }
}

/// A set of such numbers.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Couples {
    words: Vec<u64>,
}

impl Couples {
    /// Those of so many numbers that belong.
    pub(super) fn of(count: usize, belongs: impl Fn(usize) -> bool) -> Self {
        Self::listed(count, (0..count).filter(|&number| belongs(number)))
    }

    /// These of so many numbers.
    pub(super) fn listed(count: usize, numbers: impl Iterator<Item = usize>) -> Self {
        let mut words = vec![0; words_of(count)];
        numbers.for_each(|number| words[number / 64] |= 1 << (number % 64));
        Self { words }
    }

    /// Whether a number belongs.
    pub(super) fn has(&self, number: usize) -> bool {
        self.words.get(number / 64).is_some_and(|word| word >> (number % 64) & 1 == 1)
    }

    /// All that belong, ascending.
    pub(super) fn numbers(&self) -> impl Iterator<Item = usize> + '_ {
        (0..).zip(&self.words).flat_map(|(at, &word): (usize, &u64)| Bits(word).map(move |bit| at * 64 + bit))
    }
}

/// How many words a set of so many numbers takes.
pub(super) fn words_of(count: usize) -> usize {
    count.div_ceil(64)
}

/// The bits of a word, the lowest first.
struct Bits(u64);

impl Iterator for Bits {
    type Item = usize;

    fn next(&mut self) -> Option<usize> {
        let lowest = (self.0 != 0).then(|| self.0.trailing_zeros() as usize)?;
        self.0 &= self.0 - 1;
        Some(lowest)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_name_positions_and_parts() {
        let numbering = Numbering { positions: 3, firsts: 5, seconds: 7 };
        for number in 0..numbering.count() {
            let (slot, items) = numbering.named(number).expect("few");
            assert_eq!(numbering.number(slot, items), number);
        }
        assert_eq!(numbering.count(), 105);
    }

    #[test]
    fn a_set_holds_what_belongs_and_nothing_else() {
        let set = Couples::of(200, |number| number % 63 == 1);
        assert_eq!(set.numbers().collect::<Vec<_>>(), [1, 64, 127, 190]);
        assert_eq!([1, 2, 64, 190, 191, 5_000].map(|number| set.has(number)), [true, false, true, true, false, false]);
        assert_eq!(set, Couples::listed(200, [190, 1, 127, 64].into_iter()));
    }
}
