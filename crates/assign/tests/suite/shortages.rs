//! Why there is no choice, against enumeration.

use crate::brute::{shape, table};
use pairwright_assign::{
    Cause, Criterion, Item, Measure, Outcome, Problem, Sense, Shape, Shortage, Slot, Table, Window, solve,
};
use proptest::prelude::*;

fn even(table: &Table) -> Vec<Criterion<'_>> {
    vec![Criterion { table, measure: Measure::Spread, sense: Sense::Least, slack: 0 }]
}

/// Whether some of `slots` can be served at once, by enumeration; pairs outside `between` do not count.
fn serves(table: &Table, slots: &[Slot], between: &dyn Fn(i64) -> bool, taken: &mut Vec<Item>) -> bool {
    let Some((&slot, rest)) = slots.split_first() else {
        return true;
    };
    table.items().any(|item| {
        if taken.contains(&item) || !table.get(slot, item).is_some_and(between) {
            return false;
        }
        taken.push(item);
        let served = serves(table, rest, between, taken);
        taken.pop();
        served
    })
}

/// The slots cannot all be served, but any of them can be dropped and the others can; the items are what they could take.
fn is_tight(table: &Table, shortage: &Shortage, between: &dyn Fn(i64) -> bool) -> bool {
    let serves = |slots: &[Slot]| serves(table, slots, between, &mut Vec::new());
    let others = |dropped: &Slot| shortage.slots.iter().copied().filter(|slot| slot != dropped).collect::<Vec<_>>();
    let reached = |item: &Item| shortage.slots.iter().any(|&slot| table.get(slot, *item).is_some_and(between));
    let items: Vec<Item> = table.items().filter(reached).collect();
    !serves(&shortage.slots)
        && shortage.slots.iter().all(|slot| serves(&others(slot)))
        && items == shortage.items
        && items.len() + 1 == shortage.slots.len()
        && smaller_sets(table, shortage.slots.len()).iter().all(|slots| serves(slots))
        && first_sets(table, &shortage.slots).iter().all(|slots| serves(slots))
}

/// All sets of fewer slots.
fn smaller_sets(table: &Table, than: usize) -> Vec<Vec<Slot>> {
    sets(table).into_iter().filter(|set| set.len() < than).collect()
}

/// All sets of as many slots that come before these.
fn first_sets(table: &Table, before: &[Slot]) -> Vec<Vec<Slot>> {
    sets(table).into_iter().filter(|set| set.len() == before.len() && set[..] < *before).collect()
}

fn sets(table: &Table) -> Vec<Vec<Slot>> {
    let slots: Vec<Slot> = table.slots().collect();
    let chosen = |set: usize| slots.iter().copied().filter(|slot| set >> slot.index() & 1 == 1).collect();
    (0..1_usize << slots.len()).map(chosen).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4_000))]

    #[test]
    fn prop_slots_that_compete_are_named_and_none_can_be_dropped(
        table in shape(1..=5, 2).prop_flat_map(|shape| table(shape, 9, 3)),
    ) {
        let problem = Problem::new(even(&table), vec![]).unwrap();
        let possible = !crate::brute::choices(&problem).is_empty();
        match solve(&problem) {
            Outcome::Impossible(shortage) => {
                prop_assert!(!possible);
                prop_assert_eq!(shortage.cause, Cause::Pairs);
                prop_assert!(is_tight(&table, &shortage, &|_| true));
            }
            _ => prop_assert!(possible),
        }
    }

    #[test]
    fn prop_a_window_too_narrow_is_named_with_the_width_that_would_do(
        table in shape(1..=4, 3).prop_flat_map(|shape| table(shape, 9, 6)),
        width in -1_i64..9,
    ) {
        let windows = vec![Window { table: &table, width }];
        let free = Problem::new(even(&table), vec![]).unwrap();
        let held = Problem::new(vec![], windows).unwrap();
        let narrowest = crate::brute::solve(&free).map(|answer| answer.values[0]);
        match solve(&held) {
            Outcome::Impossible(shortage) => match shortage.cause {
                Cause::Window { window: 0, least, low } => {
                    prop_assert_eq!(Some(least), narrowest);
                    prop_assert!(i128::from(width) < least);
                    prop_assert!(is_tight(&table, &shortage, &|value| (low..=low + width).contains(&value)));
                }
                cause => {
                    prop_assert_eq!(cause, Cause::Pairs);
                    prop_assert_eq!(narrowest, None);
                }
            },
            _ => prop_assert!(narrowest.is_some_and(|narrowest| narrowest <= i128::from(width))),
        }
    }
}

#[test]
fn two_windows_can_be_too_narrow_only_together() {
    let shape = Shape { slots: 2, items: 2 };
    let ahead =
        Table::from_fn(shape, |slot, item| Some(i64::from(slot == Slot::new(0) && item == Item::new(0)))).unwrap();
    let across =
        Table::from_fn(shape, |slot, item| Some(i64::from(slot == Slot::new(0) && item == Item::new(1)))).unwrap();
    let alone = |table| Problem::new(vec![], vec![Window { table, width: 0 }]).unwrap();
    assert!(solve(&alone(&ahead)).solution().is_some());
    assert!(solve(&alone(&across)).solution().is_some());
    let both = vec![Window { table: &ahead, width: 0 }, Window { table: &across, width: 0 }];
    let Outcome::Impossible(shortage) = solve(&Problem::new(vec![], both).unwrap()) else { panic!() };
    assert_eq!(shortage, Shortage { slots: vec![], items: vec![], cause: Cause::WindowsTogether });
}

#[test]
fn items_brought_in_can_be_too_many() {
    // Items 0 and 1 fit slot 0 only.
    let table = Table::from_fn(Shape { slots: 2, items: 4 }, |slot, item| {
        (slot == Slot::new(0) || item.number() > 1).then_some(0)
    })
    .unwrap();
    let problem = Problem::new(even(&table), vec![]).unwrap().bring_in(Item::new(0)).unwrap();
    assert!(solve(&problem).solution().is_some());
    let problem = problem.bring_in(Item::new(1)).unwrap();
    let Outcome::Impossible(shortage) = solve(&problem) else { panic!() };
    let expected =
        Shortage { slots: vec![Slot::new(0)], items: vec![Item::new(0), Item::new(1)], cause: Cause::BroughtIn };
    assert_eq!(shortage, expected);
}

#[test]
fn a_forced_pair_that_is_forbidden_leaves_its_slot_with_nothing() {
    let mut table = Table::from_fn(Shape { slots: 2, items: 2 }, |_, _| Some(0)).unwrap();
    table.forbid(Slot::new(1), Item::new(0));
    let problem = Problem::new(even(&table), vec![]).unwrap().force(Slot::new(1), Item::new(0)).unwrap();
    let Outcome::Impossible(shortage) = solve(&problem) else { panic!() };
    assert_eq!(shortage, Shortage { slots: vec![Slot::new(1)], items: vec![], cause: Cause::Pairs });
}
