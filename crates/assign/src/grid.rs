//! Which pairs are left: one bit a pair.

mod wide;

use pairwright_proof::{Item, Slot, Table};
use smallvec::SmallVec;

/// A set of items or of slots; a small one stands where it is, without an allocation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Bits {
    words: SmallVec<[u64; 2]>,
}

impl Bits {
    /// The empty set for members `0..size`.
    pub(crate) fn none(size: usize) -> Self {
        Self { words: SmallVec::from_elem(0, size.div_ceil(64)) }
    }

    pub(crate) fn has(&self, at: usize) -> bool {
        self.words[at / 64] >> (at % 64) & 1 == 1
    }

    pub(crate) fn set(&mut self, at: usize) {
        self.words[at / 64] |= 1 << (at % 64);
    }

    pub(crate) fn clear(&mut self, at: usize) {
        self.words[at / 64] &= !(1 << (at % 64));
    }

    pub(crate) fn fill_all(&mut self) {
        self.words.fill(u64::MAX);
    }

    pub(crate) fn clear_all(&mut self) {
        self.words.fill(0);
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.words.iter().all(|&word| word == 0)
    }

    pub(crate) fn words(&self) -> &[u64] {
        &self.words
    }

    pub(crate) fn words_mut(&mut self) -> &mut [u64] {
        &mut self.words
    }

    pub(crate) fn union(&mut self, other: &[u64]) {
        for (word, more) in self.words.iter_mut().zip(other) {
            *word |= more;
        }
    }

    /// Members, ascending.
    pub(crate) fn iter(&self) -> impl Iterator<Item = u32> + '_ {
        members(&self.words)
    }
}

/// The members of a set of bits, ascending.
pub(crate) fn members(words: &[u64]) -> impl Iterator<Item = u32> + '_ {
    (0_u32..).step_by(64).zip(words).flat_map(|(base, &word)| {
        let mut rest = word;
        std::iter::from_fn(move || {
            (rest != 0).then(|| {
                let bit = rest.trailing_zeros();
                rest &= rest - 1;
                base + bit
            })
        })
    })
}

/// Pairs of slots and items, a row of bits a slot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Grid {
    slots: u32,
    items: usize,
    width: usize,
    words: Vec<u64>,
}

impl Grid {
    /// No pair at all.
    pub(crate) fn none(slots: u32, items: usize) -> Self {
        let width = items.div_ceil(64);
        Self { slots, items, width, words: vec![0; slots as usize * width] }
    }

    pub(crate) fn slot_count(&self) -> usize {
        self.slots as usize
    }

    pub(crate) fn item_count(&self) -> usize {
        self.items
    }

    pub(crate) fn slots(&self) -> impl Iterator<Item = Slot> + use<> {
        (0..self.slots).map(Slot::new)
    }

    pub(crate) fn row(&self, slot: Slot) -> &[u64] {
        let start = slot.index() * self.width;
        &self.words[start..start + self.width]
    }

    fn row_mut(&mut self, slot: Slot) -> &mut [u64] {
        let start = slot.index() * self.width;
        &mut self.words[start..start + self.width]
    }

    /// The items a slot may take, ascending.
    pub(crate) fn items_of(&self, slot: Slot) -> impl Iterator<Item = Item> + '_ {
        members(self.row(slot)).map(Item::new)
    }

    pub(crate) fn has(&self, slot: Slot, item: Item) -> bool {
        self.row(slot)[item.index() / 64] >> (item.index() % 64) & 1 == 1
    }

    /// Whether a slot may take every item.
    pub(crate) fn has_all(&self, slot: Slot) -> bool {
        self.row(slot).iter().map(|word| word.count_ones() as usize).sum::<usize>() == self.items
    }

    pub(crate) fn set(&mut self, slot: Slot, item: Item) {
        self.row_mut(slot)[item.index() / 64] |= 1 << (item.index() % 64);
    }

    pub(crate) fn clear(&mut self, slot: Slot, item: Item) {
        self.row_mut(slot)[item.index() / 64] &= !(1 << (item.index() % 64));
    }

    pub(crate) fn clear_item(&mut self, item: Item) {
        for slot in self.slots() {
            self.clear(slot, item);
        }
    }

    /// Puts every pair in.
    pub(crate) fn fill_all(&mut self) {
        for row in self.words.chunks_mut(self.width.max(1)) {
            row.fill(u64::MAX);
            let beyond = self.items % 64;
            if let Some(last) = row.last_mut().filter(|_| beyond > 0) {
                *last = (1 << beyond) - 1;
            }
        }
    }

    /// Takes over the pairs of a grid of the same shape.
    pub(crate) fn copy_from(&mut self, other: &Self) {
        self.words.copy_from_slice(&other.words);
    }

    /// Leaves the slot no other item and the item no other slot.
    pub(crate) fn force(&mut self, slot: Slot, item: Item) {
        let kept = self.has(slot, item);
        self.clear_item(item);
        self.row_mut(slot).fill(0);
        if kept {
            self.set(slot, item);
        }
    }

    /// Drops the items of a slot that are not in another row of bits.
    pub(crate) fn keep_of(&mut self, slot: Slot, kept: &[u64]) {
        for (word, kept) in self.row_mut(slot).iter_mut().zip(kept) {
            *word &= kept;
        }
    }

    /// Drops every pair that `keep` does not want.
    pub(crate) fn retain(&mut self, mut keep: impl FnMut(Slot, Item) -> bool) {
        for slot in self.slots() {
            let mut base = 0;
            for word in self.row_mut(slot) {
                let mut rest = *word;
                while rest != 0 {
                    let bit = rest.trailing_zeros();
                    rest &= rest - 1;
                    if !keep(slot, Item::new(base + bit)) {
                        *word &= !(1 << bit);
                    }
                }
                base += 64;
            }
        }
    }

    /// Drops the pairs of a slot whose values, from its row of a table, `keep` does not want. What `keep` says of cells without a
    /// pair makes no difference.
    pub(crate) fn keep_values(&mut self, slot: Slot, row: &[i64], keep: impl Fn(i64) -> bool) {
        wide::keep(self.row_mut(slot), row, keep);
    }

    /// The same with a second value beside each.
    pub(crate) fn keep_beside(&mut self, slot: Slot, row: &[i64], beside: &[i64], keep: impl Fn(i64, i64) -> bool) {
        wide::keep_beside(self.row_mut(slot), row, beside, keep);
    }

    /// Drops the pairs whose values in a table `keep` does not want.
    pub(crate) fn keep_of_table(&mut self, table: &Table, keep: impl Fn(i64) -> bool) {
        for slot in self.slots() {
            self.keep_values(slot, table.row(slot), &keep);
        }
    }

    /// The values of a slot's pairs, from its row of a table.
    pub(crate) fn each_value(&self, slot: Slot, row: &[i64], mut see: impl FnMut(Item, i64)) {
        for ((base, &word), values) in (0_u32..).step_by(64).zip(self.row(slot)).zip(row.chunks(64)) {
            if word == u64::MAX {
                (base..).zip(values).for_each(|(item, &value)| see(Item::new(item), value));
            } else {
                members(&[word]).for_each(|at| see(Item::new(base + at), values[at as usize]));
            }
        }
    }

    pub(crate) fn pair_count(&self) -> usize {
        self.words.iter().map(|word| word.count_ones() as usize).sum()
    }

    /// All pairs, slots ascending, items ascending.
    pub(crate) fn pairs(&self) -> impl Iterator<Item = (Slot, Item)> + '_ {
        self.slots().flat_map(|slot| self.items_of(slot).map(move |item| (slot, item)))
    }
}
