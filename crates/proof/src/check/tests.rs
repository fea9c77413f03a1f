//! A sound answer passes; each rule broken by itself is named.

use super::*;
use crate::{Changes, Criterion, Sense, Shape, Window};

fn table() -> Table {
    // Slot 1 cannot take item 3.
    Table::from_fn(Shape { slots: 3, items: 5 }, |slot, item| {
        let value = i64::from(10 * slot.number() + item.number() * item.number());
        (slot != Slot::new(1) || item != Item::new(3)).then_some(value)
    })
    .unwrap()
}

fn choice(items: &[u32]) -> Choice {
    Choice::new(items.iter().copied().map(Item::new).collect())
}

fn check(changes: &Changes, width: i64, items: &[u32], claimed: &[i128]) -> Result<(), Fault> {
    let table = table();
    let criteria = [Criterion { table: &table, measure: Measure::Total, sense: Sense::Least, slack: 0 }];
    let windows = [Window { table: &table, width }];
    let statement = Statement { criteria: &criteria, windows: &windows, changes };
    check_choice(&statement, &choice(items), claimed)
}

#[test]
fn a_sound_answer_passes() {
    // Values 9, 14, 20.
    assert_eq!(check(&Changes::default(), 11, &[3, 2, 0], &[43]), Ok(()));
}

#[test]
fn each_broken_rule_is_named() {
    let none = Changes::default();
    let (slot, item) = (Slot::new(1), Item::new(3));
    assert_eq!(check(&none, 99, &[3, 2], &[43]), Err(Fault::Length { expected: 3, found: 2 }));
    let twice = Fault::Twice { item: Item::new(2), first: Slot::new(0), second: Slot::new(2) };
    assert_eq!(check(&none, 99, &[2, 1, 2], &[43]), Err(twice));
    assert_eq!(check(&none, 99, &[0, 3, 2], &[43]), Err(Fault::Forbidden { slot, item }));
    let outside = Fault::Forbidden { slot: Slot::new(0), item: Item::new(5) };
    assert_eq!(check(&none, 99, &[5, 2, 0], &[43]), Err(outside));
    assert_eq!(check(&none, 10, &[3, 2, 0], &[43]), Err(Fault::Window { window: 0, spread: 11, width: 10 }));
    assert_eq!(check(&none, 11, &[3, 2, 0], &[42]), Err(Fault::Value { criterion: 0, claimed: 42, actual: 43 }));
    assert_eq!(check(&none, 11, &[3, 2, 0], &[]), Err(Fault::Claims { expected: 1, found: 0 }));
}

#[test]
fn each_broken_change_is_named() {
    let pair = (Slot::new(0), Item::new(3));
    let other = (Slot::new(0), Item::new(1));
    let (used, unused) = (Item::new(3), Item::new(4));
    let cases = [
        (Changes { forced: vec![pair], ..Changes::default() }, Ok(())),
        (Changes { forced: vec![other], ..Changes::default() }, Err(Fault::NotForced { slot: other.0, item: other.1 })),
        (Changes { forbidden: vec![pair], ..Changes::default() }, Err(Fault::Forbidden { slot: pair.0, item: pair.1 })),
        (Changes { left_out: vec![unused], ..Changes::default() }, Ok(())),
        (Changes { left_out: vec![used], ..Changes::default() }, Err(Fault::NotLeftOut { item: used })),
        (Changes { brought_in: vec![used], ..Changes::default() }, Ok(())),
        (Changes { brought_in: vec![unused], ..Changes::default() }, Err(Fault::NotBroughtIn { item: unused })),
    ];
    for (changes, expected) in cases {
        assert_eq!(check(&changes, 11, &[3, 2, 0], &[43]), expected, "{changes:?}");
    }
}
