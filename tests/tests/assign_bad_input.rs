//! Bad and odd input for every call of the solver: a typed answer each time, and a true one; no panic.
//!
//! Empty tables, no slots, more slots than items, nothing allowed, values and targets at the ends, no budget, limits that
//! contradict each other, slots and items that are not there.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

#[path = "../../crates/assign/tests/suite/brute.rs"]
#[expect(dead_code, reason = "the solver's own suite uses the rest")]
mod brute;
#[path = "assign_bad_input/chains.rs"]
mod chains;
#[path = "assign_bad_input/others.rs"]
mod others;

use pairwright_assign::{Shape, Table, TableError};
use proptest::prelude::*;

/// Numbers at the ends of what a table takes, and near 0.
fn value() -> impl Strategy<Value = i64> {
    prop_oneof![
        2 => Just(Table::LIMIT),
        2 => Just(-Table::LIMIT),
        1 => Just(Table::LIMIT - 1),
        1 => Just(1 - Table::LIMIT),
        3 => -2_i64..=2,
    ]
}

/// Numbers from end to end of an i64.
fn any_number() -> impl Strategy<Value = i64> {
    prop_oneof![
        1 => Just(i64::MIN),
        1 => Just(i64::MAX),
        1 => Just(Table::LIMIT + 1),
        1 => Just(-Table::LIMIT - 1),
        4 => value(),
    ]
}

/// No slots, no items, too few items, nothing allowed: all of them often.
fn shape() -> impl Strategy<Value = Shape> {
    prop_oneof![
        1 => (0..=4_usize, 0..=5_usize),
        1 => (1..=3_usize, 3..=5_usize),
    ]
    .prop_map(|(slots, items)| Shape { slots, items })
}

fn table(shape: Shape) -> impl Strategy<Value = Table> {
    let cells = move |gone: u32| {
        let cell = prop_oneof![gone => Just(None), 8 => value().prop_map(Some)];
        prop::collection::vec(cell, shape.slots * shape.items)
    };
    prop_oneof![4 => cells(1), 1 => cells(20), 1 => cells(1_000_000)]
        .prop_map(move |cells| Table::from_cells(shape, &cells).unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn prop_tables_take_what_they_can_reckon_with(
        shape in shape(),
        cells in prop::collection::vec(prop::option::of(any_number()), 0..=20),
    ) {
        let within = |cell: &Option<i64>| cell.is_none_or(|value| (-Table::LIMIT..=Table::LIMIT).contains(&value));
        match Table::from_cells(shape, &cells) {
            Ok(table) => {
                prop_assert_eq!(cells.len(), shape.slots * shape.items);
                prop_assert!(cells.iter().all(within));
                let read: Vec<Option<i64>> =
                    table.slots().flat_map(|slot| table.items().map(move |item| (slot, item))).map(|(slot, item)| table.get(slot, item)).collect();
                prop_assert_eq!(read, cells);
            }
            Err(TableError::Magnitude { value, .. }) => prop_assert!(!within(&Some(value))),
            Err(_) => prop_assert_ne!(cells.len(), shape.slots * shape.items),
        }
    }
}
