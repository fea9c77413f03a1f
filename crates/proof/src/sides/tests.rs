//! Each side condition broken by itself is named.

use super::*;
use crate::{Changes, Criterion, Fault, Sense, Shape, Statement, check_sided};

fn table() -> Table {
    // Slot 1 cannot take item 3.
    Table::from_fn(Shape { slots: 3, items: 5 }, |slot, item| {
        let value = i64::from(10 * slot.number() + item.number() * item.number());
        (slot != Slot::new(1) || item != Item::new(3)).then_some(value)
    })
    .unwrap()
}

/// Items 3, 2 and 0 for slots 0, 1 and 2: values 9, 14 and 20, total 43.
fn check(sides: &Sides<'_>) -> Result<(), Fault> {
    let table = table();
    let criteria = [Criterion { table: &table, measure: Measure::Total, sense: Sense::Least, slack: 0 }];
    let statement = Statement { criteria: &criteria, windows: &[], changes: &Changes::default() };
    check_sided(&statement, sides, &Choice::new([3, 2, 0].map(Item::new).to_vec()), &[43])
}

#[test]
fn a_limit_just_held_passes_and_one_tick_less_is_named() {
    let table = table();
    let between = |one, other, most| {
        let (one, other) = (Slot::new(one), Slot::new(other));
        Sides { neighbours: vec![Neighbour { one, other, table: &table, most }], ..Sides::default() }
    };
    assert_eq!(check(&between(0, 1, 5)), Ok(()));
    let apart = SideFault::Neighbours { neighbour: 0, difference: 6, most: 5 };
    assert_eq!(check(&between(2, 1, 5)), Err(apart.into()));
    assert_eq!(check(&between(2, 3, 5)), Err(Fault::NoSlot { slot: Slot::new(3) }));

    let total = |least, most| Sides { totals: vec![TotalLimit { table: &table, least, most }], ..Sides::default() };
    assert_eq!(check(&total(Some(43), Some(43))), Ok(()));
    let little = SideFault::TooLittle { total: 0, value: 43, least: 44 };
    assert_eq!(check(&total(Some(44), None)), Err(little.into()));
    let much = SideFault::TooMuch { total: 0, value: 43, most: 42 };
    assert_eq!(check(&total(None, Some(42))), Err(much.into()));
}

#[test]
fn items_parted_alone_and_both_are_named() {
    let items = |numbers: &[u32]| numbers.iter().copied().map(Item::new).collect::<Vec<_>>();
    let together = |numbers| Sides { together: vec![items(&[1, 4]), items(numbers)], ..Sides::default() };
    assert_eq!(check(&together(&[3, 0])), Ok(()));
    let parted = SideFault::Parted { set: 1, used: Item::new(2), missing: Item::new(1) };
    assert_eq!(check(&together(&[2, 1])), Err(parted.into()));

    let along = |item, with| Along { item: Item::new(item), with: Item::new(with) };
    let with = |pair| Sides { along: vec![pair], ..Sides::default() };
    assert_eq!(check(&with(along(3, 2))), Ok(()));
    assert_eq!(check(&with(along(4, 2))), Ok(()));
    assert_eq!(check(&with(along(2, 4))), Err(SideFault::Alone { pair: along(2, 4) }.into()));

    let exclusive = |numbers| Sides { exclusive: vec![items(numbers)], ..Sides::default() };
    assert_eq!(check(&exclusive(&[3, 3, 4])), Ok(()));
    let both = SideFault::Both { set: 0, one: Item::new(3), other: Item::new(0) };
    assert_eq!(check(&exclusive(&[3, 4, 0])), Err(both.into()));
}

#[test]
fn a_side_table_forbids_its_pairs_like_any_other() {
    let mut other = table();
    other.forbid(Slot::new(2), Item::new(0));
    let sides = Sides { totals: vec![TotalLimit { table: &other, least: None, most: None }], ..Sides::default() };
    assert_eq!(check(&sides), Err(Fault::Forbidden { slot: Slot::new(2), item: Item::new(0) }));
}
