//! Searches that end early say what they know, and nothing more; bad input is refused.

use super::all::{Parts, aim, key, parts};
use pairwright_assign::{
    Budget, Couple, Item, JointAim, JointError, JointOutcome, JointProblem, JointShortage, JointStatement,
    JointStatementError, Outer, Progress, Scale, Shape, Side, Slot, Stop, Table, solve_joint,
};
use pairwright_proof::check_joint;
use proptest::prelude::*;
use std::cell::{Cell, RefCell};
use std::sync::atomic::AtomicBool;

/// What a search of so many partial plans says is true.
fn assert_bounds(parts: &Parts, aim: JointAim, nodes: u64) {
    let problem = JointProblem::new(parts.statement(), aim).unwrap();
    let best = parts.all().iter().map(|(_, values)| key(aim, values).0).min();
    match solve_joint(&problem, &Budget::nodes(nodes)).unwrap() {
        JointOutcome::Proven(solution) => assert_eq!(Some(solution.value), best, "{nodes}"),
        JointOutcome::BestFound { solution, bound, stop } => {
            assert_eq!(stop, Stop::Nodes);
            assert!(bound <= best.unwrap() && best.unwrap() <= solution.value, "{nodes}");
            assert!(bound < solution.value, "{nodes}");
            check_joint(&parts.statement(), aim.measure(), &solution.choice, solution.value).unwrap();
        }
        JointOutcome::NothingFound { bound, .. } => assert!(best.is_none_or(|best| bound <= best), "{nodes}"),
        JointOutcome::Impossible(_) => assert_eq!(best, None, "{nodes}"),
    }
}

/// A case that a random search once failed on: no end, however early, may say what is not true.
#[test]
fn what_is_said_is_true_however_early_the_end() {
    let table = |rows: [[i64; 3]; 3]| {
        let shape = Shape { slots: 3, items: 3 };
        Table::from_fn(shape, |slot, item| Some(rows[slot.index()][item.index()])).unwrap()
    };
    let couple = |first, second| Couple { first: Item::new(first), second: Item::new(second) };
    let parts = Parts {
        first: table([[-2, 0, -9], [-2, 0, -9], [3, 5, -4]]),
        second: table([[16, 0, 8], [6, -10, -2], [10, -6, 2]]),
        barred: vec![couple(0, 0), couple(0, 1), couple(1, 0)],
        offsets: vec![vec![-1, 3, -6], vec![-1, -2, 4], vec![-1, -5, -4]],
        curve: super::all::Curve::Sum,
        apart: false,
    };
    (0..60).for_each(|nodes| assert_bounds(&parts, JointAim::SquaresAboutMean, nodes));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn prop_a_small_budget_gives_true_bounds(parts in parts(), aim in aim(), nodes in 0_u64..40) {
        assert_bounds(&parts, aim, nodes);
    }

    #[test]
    fn prop_the_same_every_time(parts in parts(), aim in aim(), nodes in 0_u64..200, seed in 0_u64..3) {
        let problem = JointProblem::new(parts.statement(), aim).unwrap().with_seed(seed);
        let solve = || solve_joint(&problem, &Budget::nodes(nodes)).unwrap();
        prop_assert_eq!(solve(), solve());
    }
}

/// Eight slots, all of eight items used, fine ticks.
pub(crate) fn hard() -> Parts {
    let effect = |seed: u32, item: u32| i64::from((item * 7919 + seed).wrapping_mul(2_654_435_761) % 100_003);
    let table =
        |seed| Table::from_fn(Shape { slots: 8, items: 8 }, |_, item| Some(effect(seed, item.number()))).unwrap();
    let offsets = vec![(0..8).map(|slot| effect(77, slot)).collect()];
    Parts { first: table(3), second: table(5), barred: vec![], offsets, curve: super::all::Curve::Sum, apart: false }
}

#[test]
fn clock_and_flag_end_a_search() {
    let parts = hard();
    let problem = JointProblem::new(parts.statement(), JointAim::Spread).unwrap();
    let raised = AtomicBool::new(true);
    let asked = Cell::new(0);
    let up = || {
        asked.set(asked.get() + 1);
        asked.get() > 1
    };
    let budgets = [
        (Budget { stop: Some(&raised), ..Budget::default() }, Stop::Asked),
        (Budget { expired: Some(&up), ..Budget::default() }, Stop::Expired),
    ];
    for (budget, reason) in budgets {
        let outcome = solve_joint(&problem, &budget).unwrap();
        let JointOutcome::BestFound { stop, bound, solution } = outcome else { panic!("{outcome:?}") };
        assert_eq!(stop, reason);
        assert!(bound < solution.value);
    }
}

#[test]
fn progress_is_told_and_bounds_only_rise() {
    let parts = hard();
    let problem = JointProblem::new(parts.statement(), JointAim::Spread).unwrap();
    let told = RefCell::new(Vec::<Progress>::new());
    let sink = |progress| told.borrow_mut().push(progress);
    let budget = Budget { progress: Some(&sink), ..Budget::default() };
    let outcome = solve_joint(&problem, &budget).unwrap();
    let JointOutcome::Proven(solution) = outcome else { panic!("{outcome:?}") };
    let told = told.into_inner();
    assert!(told.len() > 2);
    assert!(told.windows(2).all(|two| two[0].bound < two[1].bound && two[0].nodes <= two[1].nodes));
    assert!(told.iter().all(|progress| progress.bound <= solution.value && progress.best >= Some(solution.value)));
}

#[test]
fn nothing_to_place_is_a_plan_and_too_few_items_are_named() {
    let none = Table::from_fn(Shape { slots: 0, items: 2 }, |_, _| Some(1)).unwrap();
    let offsets = [vec![]];
    let empty =
        JointStatement { first: &none, second: &none, barred: &[], offsets: &offsets, scale: Scale::Sum, beside: None };
    let problem = JointProblem::new(empty, JointAim::SquaresAboutMean).unwrap();
    assert!(matches!(solve_joint(&problem, &Budget::nodes(0)), Ok(JointOutcome::Proven(_))));

    let enough = Table::from_fn(Shape { slots: 3, items: 3 }, |_, _| Some(1)).unwrap();
    let few = Table::from_fn(Shape { slots: 3, items: 2 }, |_, _| Some(1)).unwrap();
    let offsets = [vec![0; 3]];
    let short = JointStatement {
        first: &enough,
        second: &few,
        barred: &[],
        offsets: &offsets,
        scale: Scale::Sum,
        beside: None,
    };
    let problem = JointProblem::new(short, JointAim::Spread).unwrap();
    match solve_joint(&problem, &Budget::default()).unwrap() {
        JointOutcome::Impossible(JointShortage::Kind { side: Side::Second, shortage }) => {
            assert_eq!((shortage.slots.len(), shortage.items.len()), (3, 2));
        }
        other => panic!("{other:?}"),
    }
    let nowhere = JointStatement { second: &enough, scale: Scale::Map(&|_, _| None), ..short };
    let problem = JointProblem::new(nowhere, JointAim::Spread).unwrap();
    assert_eq!(solve_joint(&problem, &Budget::default()), Ok(JointOutcome::Impossible(JointShortage::Together)));
}

#[test]
fn numbers_that_are_too_large_are_errors() {
    let table = Table::from_fn(Shape { slots: 1, items: 1 }, |_, _| Some(Table::LIMIT)).unwrap();
    let far = [vec![Table::LIMIT + 1]];
    let near = [vec![Table::LIMIT]];
    let statement =
        JointStatement { first: &table, second: &table, barred: &[], offsets: &far, scale: Scale::Sum, beside: None };
    let error = JointProblem::new(statement, JointAim::Spread).unwrap_err();
    let (outer, slot) = (Outer::new(0), Slot::new(0));
    let offset = JointStatementError::Magnitude { outer, slot, value: Table::LIMIT + 1 };
    assert_eq!(error, JointError::Statement(offset));
    let statement = JointStatement { offsets: &near, ..statement };
    let target = i64::MAX;
    let error = JointProblem::new(statement, JointAim::WorstFrom { target }).unwrap_err();
    assert_eq!(error, JointError::Target { target });
    // The largest sums and targets are fine, squares and all.
    for aim in [JointAim::SquaresFrom { target: -JointStatement::LIMIT }, JointAim::SquaresAboutMean] {
        let problem = JointProblem::new(statement, aim).unwrap();
        assert!(matches!(solve_joint(&problem, &Budget::default()), Ok(JointOutcome::Proven(_))));
    }
    let huge = JointStatement { scale: Scale::Map(&|_, _| Some(i64::MIN)), ..statement };
    let problem = JointProblem::new(huge, JointAim::Spread).unwrap();
    assert!(matches!(solve_joint(&problem, &Budget::default()), Err(JointError::Magnitude { value: i64::MIN, .. })));
}
