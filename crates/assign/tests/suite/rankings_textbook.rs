//! Many choices of tables too large to be gone through, against the textbook partition over another library's assignment.

use pairwright_assign::{Criterion, Item, Measure, Problem, Sense, Shape, Slot, Table, ranked};
use pairwright_proof::check_choice;
use pathfinding::prelude::{Matrix, kuhn_munkres_min};
use std::collections::{BTreeMap, BTreeSet};

/// Dearer than all pairs together.
const ABSENT: i64 = 1 << 40;

/// The cheapest choice and what it comes to.
fn cheapest(costs: &Matrix<i64>) -> Option<(i64, Vec<usize>)> {
    let (total, choice) = kuhn_munkres_min(costs);
    (total < ABSENT).then_some((total, choice))
}

/// Totals of the best choices and the choices themselves, in no order among equals: every part is solved anew.
fn textbook(table: &Table, count: usize) -> Vec<(i64, Vec<usize>)> {
    let Shape { slots, items } = table.shape();
    let cells = table.slots().flat_map(|slot| table.row(slot));
    let cells = cells.map(|&value| if value == Table::FORBIDDEN { ABSENT } else { value }).collect();
    let whole = Matrix::from_vec(slots, items, cells).unwrap();
    let mut open = BTreeMap::new();
    let mut met = 0;
    if let Some((total, choice)) = cheapest(&whole) {
        open.insert((total, met), (choice, whole));
    }
    let mut found = Vec::new();
    while found.len() < count
        && let Some(((total, _), (choice, mut costs))) = open.pop_first()
    {
        for slot in 0..slots {
            let mut without = costs.clone();
            without[(slot, choice[slot])] = ABSENT;
            if let Some((total, choice)) = cheapest(&without) {
                met += 1;
                open.insert((total, met), (choice, without));
            }
            for other in (0..items).filter(|&other| other != choice[slot]) {
                costs[(slot, other)] = ABSENT;
            }
        }
        found.push((total, choice));
    }
    found
}

/// Values below `range` that look random; a fifth of the pairs forbidden if it is said so, but none of a slot and the item of
/// its number.
fn table(seed: u64, shape: Shape, range: i64, forbids: bool) -> Table {
    let mut state = seed;
    let mut below = |bound: i64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        i64::try_from(state >> 33).unwrap() % bound
    };
    let value = |slot: Slot, item: Item| {
        let value = below(range);
        (!forbids || slot.number() == item.number() || below(5) > 0).then_some(value)
    };
    Table::from_fn(shape, value).unwrap()
}

#[test]
fn the_best_few_agree_with_the_textbook() {
    let asked = [(12, 12, 40), (20, 20, 40), (24, 24, 40), (10, 30, 40), (16, 20, 40), (66, 66, 6), (40, 110, 6)];
    for (seed, (slots, items, count)) in (1..).zip(asked) {
        for range in [2, 20, 1_000_000] {
            for forbids in [false, true] {
                let table = table(seed, Shape { slots, items }, range, forbids);
                let total = Criterion { table: &table, measure: Measure::Total, sense: Sense::Least, slack: 0 };
                let problem = Problem::new(vec![total], vec![]).unwrap();
                let found: Vec<_> = ranked(&problem).unwrap().take(count).collect();
                for found in &found {
                    assert_eq!(check_choice(&problem.statement(), &found.choice, &found.values), Ok(()));
                }
                let items = |found: &pairwright_assign::Solution| found.choice.items().to_vec();
                assert!(
                    found.windows(2).all(|two| (two[0].values[0], items(&two[0])) < (two[1].values[0], items(&two[1])))
                );
                let totals: Vec<i128> = found.iter().map(|found| found.values[0]).collect();
                let expected = textbook(&table, count);
                assert_eq!(totals, expected.iter().map(|&(total, _)| total.into()).collect::<Vec<i128>>());
                // Of the last total there may be more choices than asked for; all before it are the same.
                let last = expected.last().unwrap().0;
                let expected: BTreeSet<Vec<usize>> =
                    expected.into_iter().filter(|&(total, _)| total < last).map(|(_, choice)| choice).collect();
                let before = found.iter().filter(|found| found.values[0] < last.into());
                let before: BTreeSet<Vec<usize>> =
                    before.map(|found| found.choice.items().iter().map(|item| item.index()).collect()).collect();
                assert_eq!(before, expected);
            }
        }
    }
}

/// All orders of `items`, in order.
fn orders(items: &[u32]) -> Vec<Vec<u32>> {
    if items.is_empty() {
        return vec![Vec::new()];
    }
    let rest = |first: u32| items.iter().copied().filter(|&item| item != first).collect::<Vec<_>>();
    let after = |&first: &u32| orders(&rest(first)).into_iter().map(move |rest| [vec![first], rest].concat());
    items.iter().flat_map(after).collect()
}

#[test]
fn every_one_of_5040_heavily_tied_choices_comes_once_and_in_order() {
    for range in [1, 3, 50] {
        let table = table(9, Shape { slots: 7, items: 7 }, range, false);
        let total = Criterion { table: &table, measure: Measure::Total, sense: Sense::Most, slack: 0 };
        let problem = Problem::new(vec![total], vec![]).unwrap();
        let value = |order: &Vec<u32>| {
            let pairs = table.slots().zip(order);
            pairs.map(|(slot, &item)| table.get(slot, Item::new(item)).unwrap()).sum::<i64>()
        };
        let mut expected = orders(&[0, 1, 2, 3, 4, 5, 6]);
        expected.sort_by_key(|order| -value(order));
        let found =
            ranked(&problem).unwrap().map(|found| found.choice.items().iter().map(|item| item.number()).collect());
        assert_eq!(found.collect::<Vec<Vec<u32>>>(), expected);
    }
}
