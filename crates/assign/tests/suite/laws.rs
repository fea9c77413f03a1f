//! Laws that hold at any size, a second method beside ours, and the ends of the number range.

use crate::brute::{exact_goal, shape, table};
use pairwright_assign::{
    Cause, Criterion, Item, Measure, Outcome, Problem, Sense, Shape, Slot, Solution, Table, Window, solve,
};
use pathfinding::prelude::{Matrix, kuhn_munkres_min};
use proptest::prelude::*;

fn proven(problem: &Problem<'_>) -> Solution {
    match solve(problem) {
        Outcome::Proven(solution) => solution,
        other => panic!("{other:?}"),
    }
}

fn one(table: &Table, measure: Measure, sense: Sense) -> Problem<'_> {
    Problem::new(vec![Criterion { table, measure, sense, slack: 0 }], vec![]).unwrap()
}

fn mapped(table: &Table, map: impl Fn(Slot, Item) -> (Slot, Item, i64)) -> Table {
    Table::from_fn(table.shape(), |slot, item| {
        let (slot, item, add) = map(slot, item);
        table.get(slot, item).map(|value| value + add)
    })
    .unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn prop_totals_agree_with_a_second_method(
        table in shape(1..=30, 20).prop_flat_map(|shape| table(shape, 1000, 1_000_000)),
    ) {
        prop_assume!(table.slots().all(|slot| table.items().all(|item| table.get(slot, item).is_some())));
        let rows = table.slots().map(|slot| table.row(slot).to_vec());
        let (total, _) = kuhn_munkres_min(&Matrix::from_rows(rows).unwrap());
        prop_assert_eq!(proven(&one(&table, Measure::Total, Sense::Least)).values, [i128::from(total)]);
    }

    #[test]
    fn prop_order_of_slots_and_items_does_not_matter(
        table in shape(2..=12, 20).prop_flat_map(|shape| table(shape, 300, 1_000_000)),
        turn in 1_u32..12,
        goal in exact_goal(),
    ) {
        let Shape { slots, items } = table.shape();
        let shift = |number: u32, count: usize| (number + turn) % u32::try_from(count).unwrap();
        let turned = mapped(&table, |slot, item| {
            (Slot::new(shift(slot.number(), slots)), Item::new(shift(item.number(), items)), 0)
        });
        let value = |table| solve(&one(table, goal.0, goal.1)).solution().map(|solution| solution.values.clone());
        prop_assert_eq!(value(&table), value(&turned));
    }

    #[test]
    fn prop_a_common_shift_changes_what_it_should(
        table in shape(2..=12, 20).prop_flat_map(|shape| table(shape, 300, 1_000_000)),
        shift in -1000_i64..1000,
    ) {
        let shifted = mapped(&table, |slot, item| (slot, item, shift));
        let by = |table, measure| solve(&one(table, measure, Sense::Least)).solution().cloned();
        for measure in [Measure::Spread, Measure::SquaresAboutMean] {
            prop_assert_eq!(by(&table, measure), by(&shifted, measure));
        }
        let total = |table| by(table, Measure::Total).map(|solution| solution.values[0]);
        let slots = i128::try_from(table.shape().slots).unwrap();
        prop_assert_eq!(total(&table).map(|total| total + slots * i128::from(shift)), total(&shifted));
    }

    #[test]
    fn prop_leaving_out_an_item_that_is_not_used_changes_nothing(
        table in shape(2..=10, 12).prop_flat_map(|shape| table(shape, 50, 20)),
        goals in prop::collection::vec(exact_goal(), 1..4),
    ) {
        let criterion = |&(measure, sense)| Criterion { table: &table, measure, sense, slack: 0 };
        let problem = Problem::new(goals.iter().map(criterion).collect(), vec![]).unwrap();
        if let Outcome::Proven(solution) = solve(&problem) {
            for item in table.items().filter(|&item| solution.choice.slot(item).is_none()) {
                prop_assert_eq!(&proven(&problem.clone().leave_out(item).unwrap()), &solution);
            }
            for (slot, item) in solution.choice.pairs() {
                prop_assert_eq!(&proven(&problem.clone().force(slot, item).unwrap()), &solution);
                prop_assert_eq!(&proven(&problem.clone().bring_in(item).unwrap()), &solution);
            }
        }
    }
}

#[test]
fn nothing_to_place_is_a_plan() {
    let none = Table::from_fn(Shape { slots: 0, items: 3 }, |_, _| Some(1)).unwrap();
    let goals = [Measure::Spread, Measure::Total, Measure::SquaresAboutMean, Measure::WorstFrom { target: 4 }];
    for measure in goals {
        let solution = proven(&one(&none, measure, Sense::Least));
        assert_eq!((solution.choice.items().len(), solution.values), (0, vec![0]));
    }
    let held = |width| solve(&Problem::new(vec![], vec![Window { table: &none, width }]).unwrap());
    assert!(held(0).solution().is_some());
    assert!(held(-1).solution().is_none());
}

#[test]
fn no_items_at_all_is_a_shortage() {
    let none = Table::from_fn(Shape { slots: 2, items: 0 }, |_, _| Some(1)).unwrap();
    let Outcome::Impossible(shortage) = solve(&one(&none, Measure::Total, Sense::Least)) else { panic!() };
    assert_eq!((shortage.slots, shortage.items, shortage.cause), (vec![Slot::new(0)], vec![], Cause::Pairs));
}

#[test]
fn the_largest_values_do_not_overflow() {
    let end = Table::LIMIT;
    let table = Table::from_fn(Shape { slots: 60, items: 90 }, |slot, item| {
        Some(if (slot.number() * 7 + item.number() * 11) % 13 < 5 { end } else { -end })
    })
    .unwrap();
    let goals = [
        (Measure::SquaresAboutMean, 0),
        (Measure::Spread, 0),
        (Measure::WorstFrom { target: end }, 0),
        (Measure::SquaresFrom { target: -end }, 0),
        (Measure::Total, -60 * i128::from(end)),
    ];
    for (measure, value) in goals {
        assert_eq!(proven(&one(&table, measure, Sense::Least)).values, [value], "{measure:?}");
    }
    let slack = Criterion { table: &table, measure: Measure::Spread, sense: Sense::Least, slack: i64::MAX };
    let problem = Problem::new(vec![slack], vec![Window { table: &table, width: i64::MAX }]).unwrap();
    assert_eq!(proven(&problem.bring_in(Item::new(89)).unwrap()).values.len(), 1);
}
