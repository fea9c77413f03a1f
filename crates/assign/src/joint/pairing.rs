//! How many triples can be chosen together at most: no more than any two of slots and items can be paired.
//!
//! Disjoint triples pair slots with items of either kind, and items of one kind with those of the other; each of the three is
//! a bipartite matching (Kuhn 1955). The third sees what slots do not: masses that suit each other, whatever the place.

use super::ground::Triple;

/// Slots and items of a kind that fit one word.
pub(crate) const MOST: usize = 64;
/// The partner of what has none.
pub(super) const NOBODY: u8 = u8::MAX;

/// Which slots, items of the first and items of the second kind still meet.
pub(super) struct Pairing {
    /// For every slot its items of the first and of the second kind, for every item of the first kind those of the second.
    partners: [[u64; MOST]; 3],
}

impl Pairing {
    pub(super) fn new() -> Self {
        Self { partners: [[0; MOST]; 3] }
    }

    /// Takes in a triple.
    pub(super) fn open(&mut self, triple: Triple) {
        let (slot, first) = (usize::from(triple.slot), usize::from(triple.first));
        self.partners[0][slot] |= 1 << triple.first;
        self.partners[1][slot] |= 1 << triple.second;
        self.partners[2][first] |= 1 << triple.second;
    }

    /// Whether any two of the three cannot be paired so often.
    pub(super) fn falls_short(&self, wanted: usize) -> bool {
        self.partners.iter().any(|partners| paired(partners.iter().copied(), wanted) < wanted)
    }
}

/// How many rows get a partner of their own, each from its word; no more than wanted are counted.
pub(crate) fn paired(partners: impl Iterator<Item = u64>, wanted: usize) -> usize {
    let mut rows = [0; MOST];
    let mut count = 0;
    for own in partners.filter(|&own| own != 0).take(MOST) {
        rows[count] = own;
        count += 1;
    }
    let mut row_of = [NOBODY; MOST];
    let mut found = 0;
    for row in 0..count {
        if found == wanted || found + count - row < wanted {
            break;
        }
        found += usize::from(augment(row, &rows, &mut row_of, &mut 0));
    }
    found
}

/// Finds a partner for a row, those that others hold being exchanged along a path; what was seen is not tried again.
pub(super) fn augment(row: usize, rows: &[u64], row_of: &mut [u8], seen: &mut u64) -> bool {
    loop {
        let left = rows[row] & !*seen;
        if left == 0 {
            return false;
        }
        let partner = left.trailing_zeros() as usize;
        *seen |= 1 << partner;
        let holder = row_of[partner];
        if holder == NOBODY || augment(usize::from(holder), rows, row_of, seen) {
            row_of[partner] = u8::try_from(row).unwrap_or(NOBODY);
            return true;
        }
    }
}
