//! Some pairs, over the items they use alone.

use crate::allowed::Allowed;
use crate::grid::Bits;
use crate::spread::{Pair, Pairs};
use pairwright_proof::Item;

/// Pairs over items numbered anew, in their old order.
pub(super) struct Near {
    pub(super) pairs: Pairs,
    pub(super) must: Bits,
}

impl Near {
    pub(super) fn new(allowed: &Allowed<'_>, pairs: &[Pair]) -> Self {
        let shape = allowed.table.shape();
        let mut used = Bits::none(shape.items);
        for item in pairs.iter().map(|pair| pair.item).chain(allowed.must.iter().copied()) {
            used.set(item.index());
        }
        let mut place = vec![0; shape.items];
        let mut items = 0;
        for (at, item) in (0..).zip(used.iter()) {
            place[item as usize] = at;
            items += 1;
        }
        let anew = |pair: &Pair| Pair { item: Item::new(place[pair.item.index()]), ..*pair };
        let all = pairs.iter().map(anew).collect();
        let mut must = Bits::none(items);
        for item in &allowed.must {
            must.set(place[item.index()] as usize);
        }
        let slots = u32::try_from(shape.slots).expect("a table has at most 2^20 slots");
        Self { pairs: Pairs { slots, items, all }, must }
    }
}

/// n·Σv² − (Σv)² of a choice.
pub(super) fn squares(pairs: &Pairs, choice: &[Item]) -> i128 {
    let chosen = pairs.all.iter().filter(|pair| choice[pair.slot.index()] == pair.item);
    let values: Vec<i128> = chosen.map(|pair| i128::from(pair.value)).collect();
    let total: i128 = values.iter().sum();
    choice.len() as i128 * values.iter().map(|value| value * value).sum::<i128>() - total * total
}
