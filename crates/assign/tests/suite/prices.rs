//! What forcing and forbidding a pair costs, against solving again and against every choice.

use crate::brute::{any_goal, choices, exact_goal, value};
use crate::brute::{shape, table};
use crate::chains::{Case, case, some_slack};
use pairwright_assign::{
    Criterion, Item, Measure, Outcome, Price, Problem, Sense, Shape, Slot, Table, chain_prices, sensitivity, solve,
};
use proptest::prelude::*;

fn best(problem: &Problem<'_>) -> Option<i128> {
    let sign = if problem.criteria()[0].sense == Sense::Least { 1 } else { -1 };
    match solve(problem) {
        Outcome::Proven(found) => Some(sign * found.values[0]),
        _ => None,
    }
}

/// Every pair forced and forbidden, and solved again.
fn like_solving_again(problem: &Problem<'_>) -> Result<(), TestCaseError> {
    let Some(prices) = sensitivity(problem) else {
        prop_assert_eq!(best(problem), None);
        return Ok(());
    };
    let before = best(problem).unwrap();
    let Shape { slots, items } = problem.shape();
    for slot in (0..u32::try_from(slots).unwrap()).map(Slot::new) {
        for item in (0..u32::try_from(items).unwrap()).map(Item::new) {
            let forced = best(&problem.clone().force(slot, item).unwrap()).map(|value| value - before);
            prop_assert_eq!(prices.forcing(slot, item), forced, "{} to {}", slot, item);
            let forbidden = best(&problem.clone().forbid(slot, item).unwrap()).map(|value| value - before);
            prop_assert_eq!(prices.forbidding(slot, item), forbidden, "{} without {}", slot, item);
        }
    }
    Ok(())
}

fn least(table: &Table) -> Problem<'_> {
    Problem::new(vec![Criterion { table, measure: Measure::Total, sense: Sense::Least, slack: 0 }], vec![]).unwrap()
}

fn goal() -> impl Strategy<Value = (Measure, Sense)> {
    prop_oneof![
        2 => Just((Measure::Total, Sense::Least)),
        1 => Just((Measure::Total, Sense::Most)),
        1 => Just((Measure::SquaresFrom { target: 3 }, Sense::Least)),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3_000))]

    #[test]
    fn prop_every_price_is_that_of_solving_again(
        table in shape(1..=5, 3).prop_flat_map(|shape| {
            prop_oneof![Just(2_i64), Just(30)].prop_flat_map(move |range| table(shape, range, 5))
        }),
        (measure, sense) in goal(),
        brought_in in prop_oneof![2 => Just(None), 1 => (0..8_u32).prop_map(Some)],
    ) {
        let mut problem = Problem::new(vec![Criterion { table: &table, measure, sense, slack: 0 }], vec![]).unwrap();
        if let Some(item) = brought_in {
            let items = u32::try_from(table.shape().items).unwrap();
            problem = problem.bring_in(Item::new(item % items)).unwrap();
        }
        like_solving_again(&problem)?;
    }

    #[test]
    fn prop_a_choice_stays_best_in_its_room(
        table in shape(2..=4, 3).prop_flat_map(|shape| table(shape, 20, 1000)),
        slot in 0..4_u32,
        item in 0..7_u32,
    ) {
        let Some(prices) = sensitivity(&least(&table)) else { return Ok(()) };
        let Shape { slots, items } = table.shape();
        let (slot, item) = (Slot::new(slot % u32::try_from(slots).unwrap()), Item::new(item % u32::try_from(items).unwrap()));
        let is_chosen = prices.choice().item(slot) == Some(item);
        let moved = |by: i64| Table::from_fn(table.shape(), |at, other| {
            let by = if (at, other) == (slot, item) { if is_chosen { by } else { -by } } else { 0 };
            table.get(at, other).map(|value| value + by)
        }).unwrap();
        let stays = |table: &Table| {
            let chosen = prices.choice().pairs().map(|(slot, item)| i128::from(table.get(slot, item).unwrap()));
            best(&least(table)) == Some(chosen.sum())
        };
        let Some(room) = prices.room(slot, item) else { return Ok(()) };
        let room = i64::try_from(room).unwrap();
        prop_assert!(stays(&moved(room)));
        prop_assert!(!stays(&moved(room + 1)));
    }
}

/// Every pair forced and forbidden, against the best of all choices that have, or have not, the pair.
fn like_enumeration(case: &Case) -> Result<(), TestCaseError> {
    let problem = case.problem();
    let best = crate::brute::solve(&problem);
    let Some(prices) = chain_prices(&problem) else {
        prop_assert_eq!(best, None);
        return Ok(());
    };
    let before = best.unwrap().values;
    let worse = |changed: &Problem<'_>| match crate::brute::solve(changed) {
        None => Price::Impossible,
        Some(after) => {
            let signs = problem.criteria().iter().map(|criterion| if criterion.sense == Sense::Least { 1 } else { -1 });
            let both = before.iter().zip(&after.values).zip(signs);
            Price::Worse(both.map(|((before, after), sign)| sign * (after - before)).collect())
        }
    };
    let Shape { slots, items } = problem.shape();
    for slot in (0..u32::try_from(slots).unwrap()).map(Slot::new) {
        for item in (0..u32::try_from(items).unwrap()).map(Item::new) {
            prop_assert_eq!(prices.forcing(slot, item), worse(&problem.clone().force(slot, item).unwrap()));
            prop_assert_eq!(prices.forbidding(slot, item), worse(&problem.clone().forbid(slot, item).unwrap()));
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_000))]

    #[test]
    fn prop_prices_of_chains_like_enumeration(case in case(shape(1..=3, 3), exact_goal(), some_slack())) {
        like_enumeration(&case)?;
    }

    #[test]
    fn prop_prices_of_any_measure_like_enumeration(case in case(shape(1..=3, 2), any_goal(), some_slack())) {
        like_enumeration(&case)?;
    }

    #[test]
    fn prop_a_price_of_a_single_spread_is_what_the_best_other_choice_has_more(
        table in shape(2..=4, 2).prop_flat_map(|shape| table(shape, 9, 9)),
    ) {
        let even = Criterion { table: &table, measure: Measure::Spread, sense: Sense::Least, slack: 0 };
        let problem = Problem::new(vec![even], vec![]).unwrap();
        let all: Vec<(i128, Vec<Item>)> =
            choices(&problem).into_iter().map(|choice| (value(&even, &choice), choice)).collect();
        let Some(prices) = chain_prices(&problem) else { return Ok(()) };
        let least = prices.best().values[0];
        for slot in table.slots() {
            for item in table.items() {
                let with = |wanted: bool| {
                    let kept = all.iter().filter(|(_, choice)| (choice[slot.index()] == item) == wanted);
                    kept.map(|(spread, _)| spread - least).min().map_or(Price::Impossible, |by| Price::Worse(vec![by]))
                };
                prop_assert_eq!(prices.forcing(slot, item), with(true));
                prop_assert_eq!(prices.forbidding(slot, item), with(false));
            }
        }
    }
}

#[test]
fn what_is_not_there_costs_nothing_to_do_without() {
    let table = Table::from_fn(Shape { slots: 1, items: 1 }, |_, _| Some(3)).unwrap();
    let prices = chain_prices(&least(&table)).unwrap();
    let (slot, item) = (Slot::new(0), Item::new(1));
    assert_eq!(prices.forcing(slot, item), Price::Impossible);
    assert_eq!(prices.forbidding(slot, item), Price::Worse(vec![0]));
    assert_eq!(prices.forbidding(slot, Item::new(0)), Price::Impossible);
}
