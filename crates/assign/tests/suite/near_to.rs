//! The best choice with few moves, against enumeration.

use crate::brute::{any_goal, choices, exact_goal, shape, value};
use crate::budgets::{End, end};
use crate::chains::{Case, case, some_slack};
use pairwright_assign::sides::SidedOutcome;
use pairwright_assign::{Budget, Choice, Item, MovesError, Problem, Sense, Shape, Slot, best_within_moves};
use proptest::prelude::*;

fn standing(problem: &Problem<'_>, numbers: &[u32]) -> Choice {
    let items = u32::try_from(problem.shape().items).unwrap();
    Choice::new(numbers.iter().take(problem.shape().slots).map(|number| Item::new(number % items)).collect())
}

/// The choices within so many moves that the first `levels` criteria leave.
fn left_after(problem: &Problem<'_>, standing: &Choice, moves: usize, levels: usize) -> Vec<Vec<Item>> {
    let moved = |choice: &Vec<Item>| {
        (0..).map(Slot::new).zip(choice).filter(|&(slot, &item)| standing.item(slot) != Some(item)).count()
    };
    let mut left: Vec<Vec<Item>> = choices(problem).into_iter().filter(|choice| moved(choice) <= moves).collect();
    for criterion in &problem.criteria()[..levels] {
        let sign = if criterion.sense == Sense::Least { 1 } else { -1 };
        let score = |choice: &Vec<Item>| sign * value(criterion, choice);
        let Some(best) = left.iter().map(score).min() else { break };
        left.retain(|choice| score(choice) <= best + i128::from(criterion.slack));
    }
    left
}

fn like_enumeration(case: &Case, numbers: &[u32], moves: usize, end: Option<End>) -> Result<(), TestCaseError> {
    let problem = case.problem();
    let standing = standing(&problem, numbers);
    let solve = |budget: &Budget<'_>| best_within_moves(&problem, &standing, moves, budget).unwrap();
    let outcome = end.map_or_else(|| solve(&Budget::default()), |end| end.within(solve));
    let all = || left_after(&problem, &standing, moves, problem.criteria().len());
    match outcome {
        SidedOutcome::Proven(found) => {
            prop_assert_eq!(Some(found.choice.items().to_vec()), all().into_iter().next());
            for (criterion, &found_value) in problem.criteria().iter().zip(&found.values) {
                prop_assert_eq!(value(criterion, found.choice.items()), found_value);
            }
        }
        SidedOutcome::Impossible(_) => prop_assert!(all().is_empty()),
        SidedOutcome::BestFound { solution, bound, .. } => {
            prop_assert!(end.is_some());
            let left = left_after(&problem, &standing, moves, bound.criterion);
            prop_assert!(left.contains(&solution.choice.items().to_vec()));
        }
        SidedOutcome::Undecided { .. } => prop_assert!(end.is_some()),
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4_000))]

    #[test]
    fn prop_few_moves_like_enumeration(
        case in case(shape(1..=4, 3), any_goal(), some_slack()),
        numbers in prop::collection::vec(0..7_u32, 4),
        moves in 0_usize..=5,
    ) {
        like_enumeration(&case, &numbers, moves, None)?;
    }

    #[test]
    fn prop_few_moves_within_a_budget(
        case in case(shape(1..=4, 3), exact_goal(), some_slack()),
        numbers in prop::collection::vec(0..7_u32, 4),
        moves in 0_usize..=5,
        end in end(),
    ) {
        like_enumeration(&case, &numbers, moves, Some(end))?;
    }
}

#[test]
fn what_is_no_choice_of_the_problem_is_refused() {
    let table = pairwright_assign::Table::from_fn(Shape { slots: 2, items: 2 }, |_, _| Some(0)).unwrap();
    let criterion = pairwright_assign::Criterion {
        table: &table,
        measure: pairwright_assign::Measure::Spread,
        sense: Sense::Least,
        slack: 0,
    };
    let problem = Problem::new(vec![criterion], vec![]).unwrap();
    let ask = |items: &[u32], moves| {
        let standing = Choice::new(items.iter().copied().map(Item::new).collect());
        best_within_moves(&problem, &standing, moves, &Budget::default())
    };
    assert_eq!(ask(&[0], 1), Err(MovesError::Slots { expected: 2, found: 1 }));
    assert_eq!(ask(&[0, 2], 1), Err(MovesError::NoItem { item: Item::new(2), items: 2 }));
    // Twice the same item is where things stand, if not a choice: one of the two has to move.
    assert!(matches!(ask(&[1, 1], 0), Ok(SidedOutcome::Impossible(_))));
    assert!(matches!(ask(&[1, 1], 1), Ok(SidedOutcome::Proven(_))));
    assert!(matches!(ask(&[1, 0], usize::MAX), Ok(SidedOutcome::Proven(_))));
}
