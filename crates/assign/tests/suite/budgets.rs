//! Budgets: whatever ends a solve, what it says holds.

use crate::brute::{any_goal, left_after, shape, value};
use crate::chains::{Case, case, some_slack};
use pairwright_assign::{
    Bound, Budget, Criterion, Item, Measure, NothingFound, Outcome, Problem, Progress, Reason, Sense, Shape, Slot,
    Stop, Table, Window, solve, solve_within,
};
use pairwright_proof::check_choice;
use proptest::prelude::*;
use std::cell::{Cell, RefCell};
use std::sync::atomic::AtomicBool;

/// What ends a solve.
#[derive(Clone, Copy, Debug)]
pub(crate) enum End {
    Nodes(u64),
    /// The clock, when it is asked this often.
    Asked(u32),
    Flag,
}

impl End {
    pub(crate) fn within<T>(self, solve: impl FnOnce(&Budget<'_>) -> T) -> T {
        let (asked, raised) = (Cell::new(0), AtomicBool::new(true));
        let is_late = || {
            asked.set(asked.get() + 1);
            matches!(self, Self::Asked(most) if asked.get() > most)
        };
        solve(&match self {
            Self::Nodes(nodes) => Budget::nodes(nodes),
            Self::Asked(_) => Budget { expired: Some(&is_late), ..Budget::default() },
            Self::Flag => Budget { stop: Some(&raised), ..Budget::default() },
        })
    }

    fn stop(self) -> Stop {
        match self {
            Self::Nodes(_) => Stop::Nodes,
            Self::Asked(_) => Stop::Expired,
            Self::Flag => Stop::Asked,
        }
    }
}

pub(crate) fn end() -> impl Strategy<Value = End> {
    prop_oneof![
        3 => (0_u64..12).prop_map(End::Nodes),
        4 => prop_oneof![0_u32..20, 0_u32..200].prop_map(End::Asked),
        1 => Just(End::Flag),
    ]
}

fn bound_holds(problem: &Problem<'_>, bound: Bound) -> Result<(), TestCaseError> {
    let left = left_after(problem, bound.criterion);
    if let Some(criterion) = problem.criteria().get(bound.criterion) {
        let beyond = |value: i128| match criterion.sense {
            Sense::Least => value < bound.value,
            Sense::Most => value > bound.value,
        };
        prop_assert!(!left.iter().any(|choice| beyond(value(criterion, choice))), "{bound:?}");
    }
    Ok(())
}

fn promises_hold(case: &Case, end: End) -> Result<(), TestCaseError> {
    let problem = case.problem();
    let expected = crate::brute::solve(&problem).map(|answer| answer.choice);
    match end.within(|budget| solve_within(&problem, budget)) {
        Ok(Outcome::Proven(solution)) => prop_assert_eq!(Some(solution.choice.items().to_vec()), expected),
        Ok(Outcome::Impossible(_)) => prop_assert_eq!(expected, None),
        Ok(Outcome::BestFound { solution, bound, reason }) => {
            prop_assert!(reason == Reason::Stopped(end.stop()) || reason == Reason::EffortSpent);
            prop_assert_eq!(check_choice(&problem.statement(), &solution.choice, &solution.values), Ok(()));
            prop_assert!(left_after(&problem, bound.criterion).contains(&solution.choice.items().to_vec()));
            bound_holds(&problem, bound)?;
        }
        Err(NothingFound { bound, stop }) => {
            prop_assert_eq!(stop, end.stop());
            prop_assert!(!problem.windows().is_empty());
            bound_holds(&problem, bound)?;
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(20_000))]

    #[test]
    fn prop_chains_within_a_budget(case in case(shape(1..=4, 3), any_goal(), some_slack()), end in end()) {
        promises_hold(&case, end)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    #[test]
    fn prop_a_budget_that_does_not_end_changes_nothing(case in case(shape(1..=5, 3), any_goal(), some_slack())) {
        let problem = case.problem();
        let far = Budget { expired: Some(&|| false), ..Budget::nodes(u64::MAX - 1) };
        prop_assert_eq!(solve_within(&problem, &far), Ok(solve(&problem)));
    }
}

/// Many items, so that the ways for piles are gone, too.
fn pile(seed: i64) -> (Table, Table) {
    let shape = Shape { slots: 4, items: 300 };
    let mix = |one: i64, other: i64| (one * 7919 + other * 104_729 + seed * 31).rem_euclid(997);
    let value = |slot: Slot, item: Item| mix(i64::from(slot.number()), i64::from(item.number()));
    let table = Table::from_fn(shape, |slot, item| Some(value(slot, item))).unwrap();
    let other = Table::from_fn(shape, |slot, item| Some(value(slot, item).pow(2) % 101)).unwrap();
    (table, other)
}

#[test]
fn piles_end_early_with_a_choice_and_a_bound() {
    for seed in 0..4 {
        let (table, other) = pile(seed);
        let least = |table, measure| Criterion { table, measure, sense: Sense::Least, slack: 0 };
        let chains = [Measure::Spread, Measure::SquaresAboutMean]
            .map(|first| vec![least(&table, first), least(&other, Measure::Total)]);
        for chain in chains {
            let problem = Problem::new(chain, vec![]).unwrap();
            let Outcome::Proven(best) = solve(&problem) else { panic!("both are exact") };
            let ends = (0..8).map(End::Nodes).chain((0..60).map(|asked| End::Asked(asked * asked)));
            let mut early = 0;
            for end in ends {
                match end.within(|budget| solve_within(&problem, budget)) {
                    Ok(Outcome::Proven(found)) => assert_eq!(found, best),
                    Ok(Outcome::BestFound { solution, bound, .. }) => {
                        early += 1;
                        assert!(check_choice(&problem.statement(), &solution.choice, &solution.values).is_ok());
                        assert!(bound.criterion > 0 || bound.value <= best.values[0]);
                        assert!(bound.criterion == 0 || solution.values[0] == best.values[0]);
                    }
                    other => panic!("a matching is always made: {other:?}"),
                }
            }
            assert!(early > 2);
        }
    }
}

#[test]
fn no_budget_at_all_still_gives_a_choice_where_no_window_forbids_it() {
    let table =
        Table::from_fn(Shape { slots: 3, items: 3 }, |slot, item| Some(i64::from(10 * slot.number() + item.number())))
            .unwrap();
    let even = Criterion { table: &table, measure: Measure::Spread, sense: Sense::Least, slack: 0 };
    let problem = Problem::new(vec![even], vec![]).unwrap();
    let Ok(Outcome::BestFound { solution, bound, reason }) = solve_within(&problem, &Budget::nodes(0)) else {
        panic!()
    };
    // 0, 1 or 2 and 20, 21 or 22.
    assert_eq!((bound, reason), (Bound { criterion: 0, value: 18 }, Reason::Stopped(Stop::Nodes)));
    assert_eq!(solution.values, [22]);

    let narrow = Problem::new(vec![even], vec![Window { table: &table, width: 18 }]).unwrap();
    let nothing = NothingFound { bound, stop: Stop::Nodes };
    assert_eq!(solve_within(&narrow, &Budget::nodes(0)), Err(nothing));
    let wide = Problem::new(vec![even], vec![Window { table: &table, width: 22 }]).unwrap();
    assert!(matches!(solve_within(&wide, &Budget::nodes(0)), Ok(Outcome::BestFound { .. })));
    // Without pairs there is no choice, and no time is needed to see it.
    let none = Table::from_fn(table.shape(), |_, _| None).unwrap();
    let none = Problem::new(vec![Criterion { table: &none, ..even }], vec![]).unwrap();
    assert!(matches!(solve_within(&none, &Budget::nodes(0)), Ok(Outcome::Impossible(_))));
}

#[test]
fn progress_is_told_level_by_level() {
    let table = Table::from_fn(Shape { slots: 5, items: 7 }, |slot, item| {
        Some(i64::from((slot.number() * 37 + item.number() * 53) % 101))
    })
    .unwrap();
    let least = |measure| Criterion { table: &table, measure, sense: Sense::Least, slack: 0 };
    let problem = Problem::new(vec![least(Measure::Spread), least(Measure::Total)], vec![]).unwrap();
    let told = RefCell::new(Vec::<Progress>::new());
    let sink = |progress| told.borrow_mut().push(progress);
    let Ok(Outcome::Proven(best)) = solve_within(&problem, &Budget { progress: Some(&sink), ..Budget::default() })
    else {
        panic!("both are exact")
    };
    let told = told.into_inner();
    assert_eq!(
        told.iter().map(|told| (told.criterion, told.best, told.bound)).collect::<Vec<_>>(),
        [(0, Some(best.values[0]), best.values[0]), (1, Some(best.values[1]), best.values[1]),]
    );
    assert!(told[0].nodes < told[1].nodes);
}
