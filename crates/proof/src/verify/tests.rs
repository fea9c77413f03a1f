//! A proof of every kind by hand, and every way in which it can be broken.

use super::*;
use crate::{Changes, Shape, Window, parse_proof};

/// Slots 0, 1, 2; items 0 to 3; slot 1 cannot take item 3.
fn table() -> Table {
    let cells =
        [Some(3), Some(5), Some(9), Some(4), Some(6), Some(2), Some(8), None, Some(7), Some(7), Some(1), Some(6)];
    Table::from_cells(Shape { slots: 3, items: 4 }, &cells).unwrap()
}

fn check(measure: Measure, sense: Sense, changes: &Changes, items: [u32; 3], text: &str) -> Result<usize, Fault> {
    let table = table();
    let criteria = [Criterion { table: &table, measure, sense, slack: 0 }];
    let statement = Statement { criteria: &criteria, windows: &[], changes };
    let choice = Choice::new(items.map(Item::new).to_vec());
    let value = evaluate(measure, &table, &choice).unwrap();
    let proof = parse_proof(&format!("pairwright proof 1\n{text}")).unwrap();
    check_proof(&statement, &choice, &[value], &proof).map(|checked| checked.levels)
}

fn flaw(result: Result<usize, Fault>) -> Flaw {
    match result {
        Err(Fault::Reason { level: 0, flaw }) => flaw,
        other => panic!("{other:?}"),
    }
}

/// Values 3, 2, 1: no choice has a smaller total.
fn total(text: &str) -> Result<usize, Fault> {
    check(Measure::Total, Sense::Least, &Changes::default(), [0, 1, 2], text)
}

#[test]
fn prices() {
    let (slot, item) = (Slot::new(2), Item::new(2));
    assert_eq!(total("level 6\nprices 0 shut\nslots 3 2 1\nitems\n"), Ok(1));
    assert_eq!(flaw(total("level 6\nprices 0 shut\nslots 3 2 2\nitems\n")), Flaw::Dear { slot, item });
    assert_eq!(total("level 6\nprices 0 shut\nslots 3 2 2\nitems 2=-1\n"), Ok(1));
    assert_eq!(flaw(total("level 6\nprices 0 shut\nslots 3 2 1\nitems 2=-1\n")), Flaw::Low { bound: 5, limit: 5 });
    assert_eq!(flaw(total("level 6\nprices 0 shut\nslots 3 2\nitems\n")), Flaw::Prices { expected: 3, found: 2 });
    assert_eq!(flaw(total("level 6\nprices 0 shut\nslots 2 2 1\nitems 0=1\n")), Flaw::Reward { item: Item::new(0) });
    assert_eq!(flaw(total("level 6\nprices 0 shut\nslots 3 2 1\nitems 9=-1\n")), Flaw::Order);
    assert_eq!(flaw(total("level 6\nprices 0 shut\nslots 3 2 2\nitems 2=-1 2=-1\n")), Flaw::Order);
    assert_eq!(flaw(total("level 6\nprices 1 shut\nslots 3 2 1\nitems\n")), Flaw::Kind);
    assert_eq!(flaw(total("level 6\nsums 0 0\n")), Flaw::Kind);
    assert_eq!(flaw(total("level 6\nnever\n")), Flaw::Kind);
    let huge = "level 6\nprices 0 shut\nslots 170141183460469231731687303715884105727 2 1\nitems\n";
    assert_eq!(flaw(total(huge)), Flaw::Overflow);
    assert_eq!(total("level 5\nprices 0 shut\nslots 3 2 1\nitems\n"), Err(Fault::Best { level: 0, best: 5 }));
    assert_eq!(flaw(total("level 7\nprices 0 shut\nslots 3 2 1\nitems\n")), Flaw::Low { bound: 6, limit: 6 });
    let two = "level 6\nprices 0 shut\nslots 3 2 1\nitems\nlevel 6\nnever\n";
    assert_eq!(total(two), Err(Fault::Levels { expected: 1, found: 2 }));
}

#[test]
fn pairs_that_prices_leave_and_who_competes_for_them() {
    // A bound of 4: pairs up to 1 above their prices may still be used, and slot 2 has none.
    let open = |then: &str| total(&format!("level 6\nprices 0 open\nslots 3 2 -1\nitems\n{then}"));
    assert_eq!(open("slots 2 |\n"), Ok(1));
    assert_eq!(flaw(open("slots 1 |\n")), Flaw::Leak { slot: Slot::new(1), item: Item::new(1) });
    assert_eq!(flaw(open("slots 2 | 0\n")), Flaw::NotFewer { named: 1, found: 1 });
    assert_eq!(flaw(open("slots 3 |\n")), Flaw::Order);
    assert_eq!(flaw(open("slots 2 2 |\n")), Flaw::Order);
    let deep = "prices 0 open\nslots 3 2 -1\nitems\n".repeat(DEEPEST - 1);
    assert_eq!(
        flaw(total(&format!("level 6\n{deep}slots 1 |\n"))),
        Flaw::Leak { slot: Slot::new(1), item: Item::new(1) }
    );
    assert!(parse_proof(&format!("pairwright proof 1\nlevel 6\n{deep}{deep}never\n")).is_err());
}

#[test]
fn items_that_must_be_used() {
    let changes = Changes { brought_in: vec![Item::new(2), Item::new(3)], ..Changes::default() };
    // Values 6, 2, 1 would be better but for item 3 in slot 0: 4, 8, 7 and so on; 4 + 2 + 1 is the least.
    let check = |text: &str| check(Measure::Total, Sense::Least, &changes, [3, 1, 2], text);
    assert_eq!(check("level 7\nprices 0 shut\nslots 3 2 1\nitems 3=1\n"), Ok(1));
    assert_eq!(
        flaw(check("level 7\nprices 0 shut\nslots 2 2 1\nitems 0=1 3=1\n")),
        Flaw::Reward { item: Item::new(0) }
    );
    // Costs of up to 1 above a bound of 5 leave items 2 and 3 slots of their own.
    let open = |then: &str| check(&format!("level 7\nprices 0 open\nslots 3 2 1\nitems 3=-1\n{then}"));
    assert_eq!(flaw(open("items 2 | \n")), Flaw::Leak { slot: Slot::new(2), item: Item::new(2) });
    assert_eq!(flaw(open("items 1 |\n")), Flaw::Free { item: Item::new(1) });
    assert_eq!(flaw(open("items 2 3 | 0 2\n")), Flaw::NotFewer { named: 2, found: 2 });
    assert_eq!(open("items 3 |\n"), Ok(1));
}

/// No value is in all three rows: 0 has 3, 4, 5, 9; 1 has 2, 6, 8; 2 has 1, 6, 7.
const NO_COMMON_VALUE: &str =
    "4\nto 1\nslots 0 |\nto 5\nslots 2 |\nto 8\nslots 0 |\nto 9223372036854775807\nslots 1 |\n";

#[test]
fn windows() {
    // Values 5, 6, 6.
    let even = |text: &str| check(Measure::Spread, Sense::Least, &Changes::default(), [1, 0, 3], text);
    let good = format!("level 1\nwindows level 0 {NO_COMMON_VALUE}");
    assert_eq!(even(&good), Ok(1));
    assert_eq!(flaw(even(&good.replace("to 1\n", "to 3\n"))), Flaw::Leak { slot: Slot::new(0), item: Item::new(0) });
    assert_eq!(flaw(even(&good.replace("to 1\n", "to 0\n"))), Flaw::Leak { slot: Slot::new(2), item: Item::new(2) });
    assert_eq!(flaw(even(&good.replace("to 9223372036854775807", "to 9"))), Flaw::Gap);
    assert_eq!(flaw(even(&good.replace("to 5", "to 1"))), Flaw::Order);
    let one = "level 1\nwindows level 0 1\nto 9223372036854775807\nslots 1 |\n";
    assert_eq!(flaw(even(one)), Flaw::Leak { slot: Slot::new(1), item: Item::new(1) });
    assert_eq!(flaw(even("level 1\nwindows level 0 0\n")), Flaw::Gap);
    assert_eq!(flaw(even("level 1\nwindows level 1 0\n")), Flaw::Kind);
    assert_eq!(flaw(even("level 1\nwindows window 0 0\n")), Flaw::Kind);
    assert_eq!(flaw(even("level 1\nnever\n")), Flaw::Low { bound: 0, limit: 0 });
    assert_eq!(flaw(even("level 1\nprices 0 shut\nslots 0 0 0\nitems\n")), Flaw::Kind);
}

#[test]
fn no_choice_at_all() {
    let table = table();
    let windows = [Window { table: &table, width: 0 }];
    let statement = Statement { criteria: &[], windows: &windows, changes: &Changes::default() };
    let refuted = |text: &str| {
        let proof = parse_proof(&format!("pairwright proof 1\nlevel 0\n{text}")).unwrap();
        check_impossible(&statement, &proof.levels[0].reason)
    };
    assert_eq!(refuted(&format!("windows window 0 {NO_COMMON_VALUE}")), Ok(()));
    let leak = Flaw::Leak { slot: Slot::new(0), item: Item::new(0) };
    let moved = NO_COMMON_VALUE.replace("to 1\n", "to 4\n");
    assert_eq!(refuted(&format!("windows window 0 {moved}")), Err(Fault::Impossible { flaw: leak }));
    assert_eq!(refuted("windows window 1 0\n"), Err(Fault::Impossible { flaw: Flaw::Kind }));
    assert_eq!(refuted("never\n"), Err(Fault::Impossible { flaw: Flaw::Kind }));
    assert_eq!(refuted("prices 0 shut\nslots 9 9 9\nitems\n"), Err(Fault::Impossible { flaw: Flaw::Kind }));
}

#[test]
fn sums() {
    // Values 5, 6, 6 have 3 · 97 − 17² = 2, and none has less: nothing but equal values has 0, and 1 is no such number.
    let even = |text: &str| check(Measure::SquaresAboutMean, Sense::Least, &Changes::default(), [1, 0, 3], text);
    // About 18, that is 6 each, a pair costs 3·v² − 36·v: at least −105 (5), −108 (6), −108 (6); with 324 that is 3.
    let run = |until: i32, about: i32, slots: &str| format!("to {until} about {about} shut\nslots {slots}\nitems\n");
    let flaw_of = |text: &str| flaw(even(text));
    assert_eq!(
        flaw_of(&format!("level 2\nsums 0 1\n{}", run(30, 18, "-105 -108 -108"))),
        Flaw::Low { bound: -321, limit: 1 }
    );
    let dear = Flaw::Dear { slot: Slot::new(0), item: Item::new(1) };
    assert_eq!(flaw_of(&format!("level 2\nsums 0 1\n{}", run(30, 18, "-104 -108 -108"))), dear);
    assert_eq!(flaw_of("level 2\nsums 0 0\n"), Flaw::Gap);
    let early = format!("level 2\nsums 0 2\n{}{}", run(9, 9, "-27 -24 -15"), run(9, 9, "-27 -24 -15"));
    assert_eq!(flaw_of(&early), Flaw::Order);
    assert_eq!(flaw_of("level 2\nprices 0 shut\nslots 0 0 0\nitems\n"), Flaw::Kind);
    assert_eq!(flaw_of("level 2\nnever\n"), Flaw::Low { bound: 0, limit: 1 });
    let open = "level 2\nsums 0 1\nto 99 about 18 open\nslots -105 -108 -108\nitems\nslots 2 |\n";
    assert!(matches!(flaw_of(open), Flaw::Leak { .. }));
}
