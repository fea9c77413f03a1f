use super::*;
use crate::jobs::jobs;
use crate::spread::{self, Pairs};
use pairwright_proof::{Item, Shape, Slot};
use proptest::collection::vec;
use proptest::prelude::*;

/// Values of few sizes, of many, and nearly additive ones; some pairs forbidden.
fn tables() -> impl Strategy<Value = Table> {
    let shapes = (1_usize..7, 0_usize..5).prop_map(|(slots, more)| Shape { slots, items: slots + more });
    (shapes, prop::sample::select(vec![4_i64, 60, 100_000]), any::<bool>()).prop_flat_map(|(shape, range, adds)| {
        let cells = vec((0..range, prop::bool::weighted(0.15)), shape.slots * shape.items);
        (vec(0..range, shape.slots), vec(0..range, shape.items), cells).prop_map(move |(slots, items, cells)| {
            let value = |slot: Slot, item: Item| {
                let (value, is_forbidden) = cells[slot.index() * shape.items + item.index()];
                let sum = slots[slot.index()] + items[item.index()] + value / 16;
                (!is_forbidden).then_some(if adds { sum } else { value })
            };
            Table::from_fn(shape, value).unwrap()
        })
    })
}

fn grid_of(table: &Table) -> Grid {
    let mut grid = Grid::none(u32::try_from(table.shape().slots).unwrap(), table.shape().items);
    grid.fill_all();
    grid.keep_of_table(table, |value| value != Table::FORBIDDEN);
    grid
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(jobs(2000)))]

    #[test]
    fn prop_buckets_lose_no_window(table in tables(), must in vec(0_usize..12, 0..3)) {
        let grid = grid_of(&table);
        let mut needed = Bits::none(table.shape().items);
        must.into_iter().filter(|&item| item < table.shape().items).for_each(|item| needed.set(item));
        let watch = Watch::unlimited();
        let all = spread::least(Pairs::of(&grid, &table), &needed, None, &watch);
        let some = least(&grid, &table, &needed, &watch);
        prop_assert_eq!(some.is_some(), all.is_some());
        if let (Some(some), Some(all)) = (some, all) {
            prop_assert_eq!((some.spread, some.starts), (all.spread, all.starts));
            let values: Vec<i64> = table.slots().zip(&some.choice).map(|(slot, &item)| table.get(slot, item).unwrap()).collect();
            let ends = values.iter().max().zip(values.iter().min());
            prop_assert_eq!(ends.map(|(high, low)| high - low), Some(some.spread));
        }
    }
}
