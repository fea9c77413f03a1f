//! Whatever prices an assignment starts from, it comes to the same total and to prices that prove it.

use super::*;
use crate::brute;
use crate::free_mean::cost_about;
use crate::sum;
use pairwright_proof::{Shape, Slot};
use proptest::prelude::*;

/// A table and two lots of prices to start from.
fn case() -> impl Strategy<Value = (Table, Vec<i64>, Vec<i64>, [i64; 3])> {
    let range = prop_oneof![Just(1_i64), Just(5), Just(100)];
    let tables = (brute::shape(1..=8, 6), range, prop_oneof![Just(2_u32), Just(6), Just(1000)]);
    tables.prop_flat_map(|(shape, range, rarity)| {
        let least = -2 * range * range * i64::try_from(shape.slots).unwrap();
        let prices = prop::collection::vec(prop_oneof![1 => Just(0), 2 => least..=0], shape.items);
        let sum = 0..=2 * range * i64::try_from(shape.slots).unwrap();
        (brute::table(shape, range, rarity), prices.clone(), prices, [sum.clone(), sum.clone(), sum])
    })
}

fn whole(table: &Table) -> Grid {
    let Shape { slots, items } = table.shape();
    let mut grid = Grid::none(u32::try_from(slots).unwrap(), items);
    grid.fill_all();
    grid.keep_of_table(table, |value| value != Table::FORBIDDEN);
    grid
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(crate::jobs::jobs(4_000)))]

    #[test]
    fn prop_any_prices_lead_to_the_least_total((table, one, other, [first, second, third]) in case()) {
        let grid = whole(&table);
        let anchor = table.slots().flat_map(|slot| table.row(slot)).filter(|&&value| value != Table::FORBIDDEN).min();
        let anchor = anchor.copied().unwrap_or(0);
        let mut resume = Resume::new(&grid, &table, anchor).unwrap();
        let must = crate::grid::Bits::none(grid.item_count());
        let mut before: Option<Resumed> = None;
        for (about, prices) in [(first, Some(one)), (second, None), (third, Some(other))] {
            let cost = cost_about(&table, anchor, about.into());
            let expected = sum::cheapest(&grid, &must, &cost).map(|assigned| assigned.total);
            let like = before.as_ref().map(|before| &before.choice[..]);
            let start = match (&before, prices) {
                (_, Some(prices)) => prices,
                (Some(before), None) => before.prices.clone(),
                (None, None) => vec![0; grid.item_count()],
            };
            let found = resume.cheapest(about, start, like);
            let total = |found: &Resumed| grid.slots().zip(&found.choice).map(|(slot, &item)| cost(slot, item)).sum::<i128>();
            prop_assert_eq!(found.as_ref().map(total), expected);
            let Some(found) = found else { break };
            // The bound of the prices is met: they are best, too.
            let price = |item: Item| i128::from(found.prices[item.index()]);
            let of_slot = |slot: Slot| grid.items_of(slot).map(|item| cost(slot, item) - price(item)).min().unwrap();
            prop_assert!(found.prices.iter().all(|&price| price <= 0));
            let bound = grid.slots().map(of_slot).sum::<i128>() + found.prices.iter().map(|&price| i128::from(price)).sum::<i128>();
            prop_assert_eq!(bound, total(&found));
            before = Some(found);
        }
    }
}

#[test]
fn prices_between_two_are_rounded_down() {
    assert_eq!(between(3, [0, 4], [&[0, -4, -10], &[-8, -4, -11]]), [-6, -4, -11]);
}
