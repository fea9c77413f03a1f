//! One suite for every road to a best choice: they have to agree with enumeration, and with each other, wherever they
//! start from and on however many threads.
//!
//! Roads: the specialised solver (plain, within a budget, with its proof), the ranking, side conditions that ask
//! nothing, few moves with as many as there are slots, several items a slot with one each, two kinds of items of which
//! the second adds nothing, and the 0/1 model.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

#[path = "assign_conformance/among_many.rs"]
mod among_many;
#[path = "../../crates/assign/tests/suite/brute.rs"]
#[expect(dead_code, reason = "the solver's own suite uses the rest")]
mod brute;
#[path = "assign_conformance/roads.rs"]
mod roads;
#[path = "assign_conformance/threads.rs"]
mod threads;

use brute::{Answer, exact_goal, shape, table};
use pairwright_assign::{Choice, Criterion, Item, Measure, Problem, Sense, Table, starting_from};
use proptest::prelude::*;
use roads::{Road, takes};

/// What enumeration says of one criterion: the best answer, and all choices from best to worst.
struct Known {
    best: Option<Answer>,
    all: Vec<Vec<Item>>,
}

impl Known {
    fn of(problem: &Problem<'_>) -> Self {
        let criterion = problem.criteria()[0];
        let sign = if criterion.sense == Sense::Least { 1 } else { -1 };
        let mut all = brute::choices(problem);
        all.sort_by_cached_key(|choice| sign * brute::value(&criterion, choice));
        Self { best: brute::solve(problem), all }
    }

    /// Choices to start from: the worst, one from the middle, and a best one.
    fn starts(&self) -> Vec<Choice> {
        let at = [self.all.len().saturating_sub(1), self.all.len() / 2, 0];
        at.iter().filter_map(|&at| self.all.get(at)).map(|items| Choice::new(items.clone())).collect()
    }
}

fn agrees(road: Road, problem: &Problem<'_>, known: &Known, start: Option<&Choice>) -> Result<(), TestCaseError> {
    let found = match start {
        Some(start) => starting_from(start, || road.best(problem, Some(start))),
        None => road.best(problem, None),
    };
    let Some(found) = found else {
        prop_assert!(known.best.is_none(), "{:?} found nothing", road);
        return Ok(());
    };
    let best = known.best.as_ref();
    prop_assert_eq!(Some(found.value), best.map(|best| best.values[0]), "{:?} from {:?}", road, start);
    // The choice is worth what is said, whatever its ties.
    prop_assert_eq!(brute::value(&problem.criteria()[0], &found.items), found.value);
    prop_assert!(known.all.contains(&found.items));
    if road.settles_ties() {
        prop_assert_eq!(Some(&found.items), best.map(|best| &best.choice), "{:?} from {:?}", road, start);
    }
    Ok(())
}

fn all_agree(table: &Table, measure: Measure, sense: Sense, roads: &[Road]) -> Result<(), TestCaseError> {
    let problem = Problem::new(vec![Criterion { table, measure, sense, slack: 0 }], vec![]).unwrap();
    let known = Known::of(&problem);
    for &road in roads.iter().filter(|&&road| takes(road, measure, sense)) {
        agrees(road, &problem, &known, None)?;
        for start in known.starts() {
            agrees(road, &problem, &known, Some(&start))?;
        }
    }
    Ok(())
}

fn tables() -> impl Strategy<Value = Table> {
    let range = prop_oneof![Just(1_i64), Just(5), Just(40), Just(1000)];
    (shape(1..=5, 2), range, prop_oneof![Just(4_u32), Just(9), Just(1000)])
        .prop_flat_map(|(shape, range, rarity)| table(shape, range, rarity))
}

/// Values that nearly add up, as they do in practice: many choices of nearly the same worth.
fn near_additive() -> impl Strategy<Value = Table> {
    shape(2..=5, 2).prop_flat_map(|shape| {
        let effects = |count| prop::collection::vec(-60_i64..60, count);
        let noise = prop::collection::vec(-1_i64..=1, shape.slots * shape.items);
        (effects(shape.slots), effects(shape.items), noise).prop_map(move |(slots, items, noise)| {
            let value = |slot: usize, item: usize| slots[slot] + items[item] + noise[slot * shape.items + item];
            Table::from_fn(shape, |slot, item| Some(value(slot.index(), item.index()))).unwrap()
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_500))]

    #[test]
    fn prop_all_roads_lead_to_the_same_value(table in tables(), (measure, sense) in exact_goal()) {
        all_agree(&table, measure, sense, &Road::QUICK)?;
    }

    #[test]
    fn prop_all_roads_agree_where_values_nearly_add_up(table in near_additive(), (measure, sense) in exact_goal()) {
        all_agree(&table, measure, sense, &Road::QUICK)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn prop_the_model_agrees(table in tables(), (measure, sense) in exact_goal()) {
        all_agree(&table, measure, sense, &[Road::Model])?;
    }
}
