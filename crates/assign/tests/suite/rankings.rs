//! All choices in order, against enumeration.

use crate::brute::{any_goal, exact_goal, shape};
use crate::chains::case;
use pairwright_assign::{Item, Problem, RankError, Sense, other_items, ranked, solve};
use proptest::prelude::*;

/// All choices in the order of the chain, then of their items.
fn in_order(problem: &Problem<'_>) -> Vec<(Vec<i128>, Vec<Item>)> {
    let score = |choice: &Vec<Item>| {
        let criteria = problem.criteria().iter();
        let scores = criteria.map(|criterion| {
            let value = crate::brute::value(criterion, choice);
            if criterion.sense == Sense::Least { value } else { -value }
        });
        scores.collect::<Vec<i128>>()
    };
    let mut all: Vec<_> = crate::brute::choices(problem).into_iter().map(|choice| (score(&choice), choice)).collect();
    all.sort();
    all
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn prop_every_choice_comes_once_and_in_order(
        case in case(shape(1..=3, 3), exact_goal(), Just(0_i64).boxed()),
    ) {
        let problem = case.problem();
        let expected: Vec<Vec<Item>> = in_order(&problem).into_iter().map(|(_, choice)| choice).collect();
        let found: Vec<Vec<Item>> = ranked(&problem).unwrap().map(|found| found.choice.items().to_vec()).collect();
        prop_assert_eq!(found, expected);
    }

    #[test]
    fn prop_the_first_few_of_many(case in case(shape(4..=5, 2), exact_goal(), Just(0_i64).boxed())) {
        let problem = case.problem();
        let expected: Vec<Vec<Item>> = in_order(&problem).into_iter().map(|(_, choice)| choice).take(6).collect();
        let found: Vec<Vec<Item>> =
            ranked(&problem).unwrap().take(6).map(|found| found.choice.items().to_vec()).collect();
        prop_assert_eq!(found, expected);
    }

    #[test]
    fn prop_the_best_with_other_items(case in case(shape(1..=4, 3), exact_goal(), Just(0_i64).boxed())) {
        let problem = case.problem();
        if let Some(best) = solve(&problem).solution() {
            let differs = |choice: &Vec<Item>| choice.iter().any(|item| !best.choice.items().contains(item));
            let expected = in_order(&problem).into_iter().map(|(_, choice)| choice).find(differs);
            let found = other_items(&problem, &best.choice).solution().map(|found| found.choice.items().to_vec());
            prop_assert_eq!(found, expected);
        }
    }

    #[test]
    fn prop_what_has_no_order_is_refused(case in case(shape(1..=3, 2), any_goal(), (0_i64..3).boxed())) {
        let problem = case.problem();
        let slack = problem.criteria().iter().position(|criterion| criterion.slack > 0);
        match ranked(&problem) {
            Err(RankError::Slack { criterion }) => prop_assert_eq!(slack, Some(criterion)),
            Err(_) => {}
            Ok(_) => prop_assert_eq!(slack, None),
        }
    }
}
