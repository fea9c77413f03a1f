//! Whole chains against enumeration.

use crate::brute::{any_goal, exact_goal, shape, table};
use crate::jobs::jobs;
use pairwright_assign::{Criterion, Item, Measure, Outcome, Problem, Sense, Shape, Slot, Table, Window, solve};
use pairwright_proof::check_choice;
use proptest::prelude::*;

#[derive(Clone, Debug)]
pub(crate) struct Case {
    tables: Vec<Table>,
    /// Table, goal, slack.
    chain: Vec<(usize, (Measure, Sense), i64)>,
    /// Table, width.
    windows: Vec<(usize, i64)>,
    /// Kind of change, slot, item.
    changes: Vec<(u8, u32, u32)>,
}

impl Case {
    pub(crate) fn problem(&self) -> Problem<'_> {
        let criterion = |&(table, (measure, sense), slack): &(usize, _, i64)| Criterion {
            table: &self.tables[table],
            measure,
            sense,
            slack,
        };
        let window = |&(table, width): &(usize, i64)| Window { table: &self.tables[table], width };
        let criteria = self.chain.iter().map(criterion).collect();
        let mut problem = Problem::new(criteria, self.windows.iter().map(window).collect()).unwrap();
        let Shape { slots, items } = self.tables[0].shape();
        for &(kind, slot, item) in &self.changes {
            let slot = Slot::new(slot % u32::try_from(slots).unwrap());
            let item = Item::new(item % u32::try_from(items).unwrap());
            problem = match kind {
                0 => problem.force(slot, item),
                1 => problem.forbid(slot, item),
                2 => problem.leave_out(item),
                _ => problem.bring_in(item),
            }
            .unwrap();
        }
        problem
    }
}

pub(crate) fn case(
    shape: impl Strategy<Value = Shape>,
    goal: BoxedStrategy<(Measure, Sense)>,
    slack: BoxedStrategy<i64>,
) -> impl Strategy<Value = Case> {
    let range = prop_oneof![Just(1_i64), Just(4), Just(30), Just(1000)];
    (shape, range, prop_oneof![Just(3_u32), Just(8), Just(1000)]).prop_flat_map(move |(shape, range, rarity)| {
        let tables = prop::collection::vec(table(shape, range, rarity), 3);
        let chain = prop::collection::vec((0..3_usize, goal.clone(), slack.clone()), 1..=4);
        let windows = prop_oneof![
            3 => Just(Vec::new()),
            2 => prop::collection::vec((0..3_usize, -1..=2 * range), 1..=2),
        ];
        let changes = prop_oneof![
            2 => Just(Vec::new()),
            1 => prop::collection::vec((0..4_u8, 0..6_u32, 0..9_u32), 1..=3),
        ];
        (tables, chain, windows, changes).prop_map(|(tables, chain, windows, changes)| Case {
            tables,
            chain,
            windows,
            changes,
        })
    })
}

pub(crate) fn some_slack() -> BoxedStrategy<i64> {
    prop_oneof![2 => Just(0), 1 => 0_i64..40].boxed()
}

fn proven_like_enumeration(case: &Case) -> Result<(), TestCaseError> {
    let problem = case.problem();
    let expected = crate::brute::solve(&problem);
    match solve(&problem) {
        Outcome::Proven(solution) => {
            prop_assert_eq!(check_choice(&problem.statement(), &solution.choice, &solution.values), Ok(()));
            let found =
                crate::brute::Answer { choice: solution.choice.items().to_vec(), values: solution.values.clone() };
            prop_assert_eq!(Some(found), expected);
        }
        Outcome::Impossible(_) => prop_assert_eq!(expected, None),
        Outcome::BestFound { bound, .. } => prop_assert!(false, "left open at {bound:?}"),
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(jobs(20_000)))]

    #[test]
    fn prop_chains_without_slack(case in case(shape(1..=4, 3), exact_goal(), Just(0_i64).boxed())) {
        proven_like_enumeration(&case)?;
    }

    #[test]
    fn prop_chains_with_slack(case in case(shape(1..=4, 3), exact_goal(), some_slack())) {
        proven_like_enumeration(&case)?;
    }

    #[test]
    fn prop_any_measure_in_any_sense(case in case(shape(1..=3, 3), any_goal(), some_slack())) {
        proven_like_enumeration(&case)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(jobs(1_500)))]

    #[test]
    fn prop_larger_chains(case in case(shape(5..=6, 2), exact_goal(), some_slack())) {
        proven_like_enumeration(&case)?;
    }
}

/// What an outcome left open still promises: everything before the bound is proven, and the bound holds.
fn promises_hold(case: &Case, effort: u64) -> Result<(), TestCaseError> {
    let problem = case.problem().with_effort(effort);
    let expected = crate::brute::solve(&problem);
    match solve(&problem) {
        Outcome::Proven(solution) => {
            let expected = expected.map(|answer| answer.choice);
            prop_assert_eq!(Some(solution.choice.items().to_vec()), expected);
        }
        Outcome::Impossible(_) => prop_assert_eq!(expected, None),
        Outcome::BestFound { solution, bound, .. } => {
            prop_assert_eq!(check_choice(&problem.statement(), &solution.choice, &solution.values), Ok(()));
            let left = crate::brute::left_after(&problem, bound.criterion);
            prop_assert!(left.contains(&solution.choice.items().to_vec()));
            if let Some(criterion) = problem.criteria().get(bound.criterion) {
                let beyond = |value: i128| match criterion.sense {
                    Sense::Least => value < bound.value,
                    Sense::Most => value > bound.value,
                };
                prop_assert!(!left.iter().any(|choice| beyond(crate::brute::value(criterion, choice))));
            }
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(jobs(20_000)))]

    #[test]
    fn prop_cut_short_searches_promise_no_more_than_they_know(
        case in case(shape(2..=4, 3), any_goal(), (0_i64..40).boxed()),
        effort in 0_u64..6,
    ) {
        promises_hold(&case, effort)?;
    }
}
