//! The tables that the examples of side conditions share: values are slot + item + a little that is neither, moves count
//! from item j in slot j, prices are 0 to 99 an item.

use pairwright_assign::{Item, Shape, Slot, Table};

/// `SplitMix64` (Steele, Lea and Flood 2014; constants from memory).
struct Mix(u64);

impl Mix {
    fn below(&mut self, range: u64) -> i64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        i64::try_from((mixed ^ (mixed >> 31)) % range).unwrap_or(0)
    }
}

/// Values, moves, prices and masses of one shape.
pub(crate) struct Case {
    pub(crate) values: Table,
    pub(crate) moves: Table,
    pub(crate) prices: Table,
    pub(crate) masses: Table,
}

impl Case {
    pub(crate) fn new(shape: Shape, seed: u64) -> Self {
        let mut mix = Mix(seed);
        let mut sizes = |count, range| (0..count).map(|_| mix.below(range)).collect::<Vec<_>>();
        let (slots, items) = (sizes(shape.slots, 100_000), sizes(shape.items, 200_000));
        let (prices, masses) = (sizes(shape.items, 100), sizes(shape.items, 10_000));
        let of_item = |of: &[i64]| Table::from_fn(shape, |_, item: Item| Some(of[item.index()])).expect("small");
        let value = |slot: Slot, item: Item| Some(slots[slot.index()] + items[item.index()] + mix.below(3000));
        Self {
            values: Table::from_fn(shape, value).expect("small values"),
            moves: Table::from_fn(shape, |slot, item| Some(i64::from(slot.number() != item.number()))).expect("small"),
            prices: of_item(&prices),
            masses: of_item(&masses),
        }
    }
}
