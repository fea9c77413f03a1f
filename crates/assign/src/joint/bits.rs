//! Sets of triples: one bit a triple of a window, in as many words as the window needs.

/// A set of small numbers, of which all in one search have the same length.
pub(crate) trait Bits: Clone {
    /// The empty set for members below `size`.
    fn none(size: usize) -> Self;
    fn words(&self) -> &[u64];
    fn words_mut(&mut self) -> &mut [u64];

    fn insert(&mut self, at: usize) {
        self.words_mut()[at / 64] |= 1 << (at % 64);
    }

    /// Takes out all members of another set.
    fn minus(&mut self, other: &Self) {
        for (word, out) in self.words_mut().iter_mut().zip(other.words()) {
            *word &= !out;
        }
    }

    /// Keeps the members of another set only.
    fn meet(&mut self, other: &Self) {
        for (word, keep) in self.words_mut().iter_mut().zip(other.words()) {
            *word &= keep;
        }
    }

    /// How many members two sets share.
    fn common(&self, other: &Self) -> u32 {
        self.words().iter().zip(other.words()).map(|(a, b)| (a & b).count_ones()).sum()
    }

    /// The smallest member that two sets share.
    fn first_common(&self, other: &Self) -> Option<usize> {
        let mut words = self.words().iter().zip(other.words()).map(|(a, b)| a & b).enumerate();
        words.find(|&(_, word)| word != 0).map(|(at, word)| at * 64 + word.trailing_zeros() as usize)
    }

    /// Takes out the smallest member.
    fn pop(&mut self) -> Option<usize> {
        let (at, word) = self.words_mut().iter_mut().enumerate().find(|(_, word)| **word != 0)?;
        let bit = word.trailing_zeros() as usize;
        *word &= *word - 1;
        Some(at * 64 + bit)
    }
}

impl<const N: usize> Bits for [u64; N] {
    fn none(_: usize) -> Self {
        [0; N]
    }

    fn words(&self) -> &[u64] {
        self
    }

    fn words_mut(&mut self) -> &mut [u64] {
        self
    }
}

impl Bits for Vec<u64> {
    fn none(size: usize) -> Self {
        vec![0; size.div_ceil(64)]
    }

    fn words(&self) -> &[u64] {
        self
    }

    fn words_mut(&mut self) -> &mut [u64] {
        self
    }
}
