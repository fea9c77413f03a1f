//! Chains of criteria: plain, within a budget, with a proof, ranked, priced, near to a choice, and what stands in the way.

use super::{any_number, brute, shape, table};
use pairwright_assign::{
    Budget, Choice, Criterion, Evidence, Item, Measure, Outcome, Problem, ProblemError, Range, Sense, Slot, Stop,
    Table, Window, best_within_moves, chain_prices, other_items, ranked, sensitivity, smallest_changes, solve,
    solve_with_proof, solve_within, stretches,
};
use pairwright_proof::{check_choice, check_impossible, check_proof};
use proptest::prelude::*;

#[derive(Clone, Debug)]
pub(crate) struct Case {
    pub(crate) tables: Vec<Table>,
    criteria: Vec<(usize, Measure, Sense, i64)>,
    windows: Vec<(usize, i64)>,
    changes: Vec<(u8, u32, u32)>,
    effort: Option<u64>,
}

impl Case {
    pub(crate) fn problem(&self) -> Result<Problem<'_>, ProblemError> {
        let criterion = |&(table, measure, sense, slack): &(usize, _, _, _)| Criterion {
            table: &self.tables[table],
            measure,
            sense,
            slack,
        };
        let window = |&(table, width): &(usize, _)| Window { table: &self.tables[table], width };
        let criteria = self.criteria.iter().map(criterion).collect();
        let mut problem = Problem::new(criteria, self.windows.iter().map(window).collect())?;
        for &(kind, slot, item) in &self.changes {
            let (slot, item) = (Slot::new(slot), Item::new(item));
            problem = match kind {
                0 => problem.force(slot, item)?,
                1 => problem.forbid(slot, item)?,
                2 => problem.leave_out(item)?,
                _ => problem.bring_in(item)?,
            };
        }
        Ok(self.effort.map_or(problem.clone(), |effort| problem.with_effort(effort)))
    }

    /// Whether what was refused had to be refused.
    fn is_rightly_refused(&self, error: ProblemError) -> bool {
        let shape = self.tables[0].shape();
        match error {
            ProblemError::NoTable => self.criteria.is_empty() && self.windows.is_empty(),
            ProblemError::Slack { slack, .. } => slack < 0,
            ProblemError::Target { target, .. } => target.abs_diff(0) > Table::LIMIT.unsigned_abs(),
            ProblemError::NoSlot { slot, .. } => slot.index() >= shape.slots,
            ProblemError::NoItem { item, .. } => item.index() >= shape.items,
            _ => false,
        }
    }
}

pub(crate) fn measure() -> impl Strategy<Value = Measure> {
    prop_oneof![
        Just(Measure::Spread),
        Just(Measure::Total),
        Just(Measure::Greatest),
        Just(Measure::Least),
        Just(Measure::SquaresAboutMean),
        any_number().prop_map(|target| Measure::WorstFrom { target }),
        any_number().prop_map(|target| Measure::SquaresFrom { target }),
    ]
}

pub(crate) fn sense() -> impl Strategy<Value = Sense> {
    prop_oneof![3 => Just(Sense::Least), 1 => Just(Sense::Most)]
}

pub(crate) fn case() -> impl Strategy<Value = Case> {
    let slack = prop_oneof![4 => Just(0), 1 => Just(i64::MAX), 1 => Just(1), 1 => Just(-1)];
    let width = prop_oneof![Just(i64::MIN), Just(-1), Just(0), Just(1), Just(i64::MAX), Just(2 * Table::LIMIT)];
    (
        shape().prop_flat_map(|shape| prop::collection::vec(table(shape), 2)),
        prop::collection::vec((0..2_usize, measure(), sense(), slack), 0..=3),
        prop_oneof![2 => Just(vec![]), 1 => prop::collection::vec((0..2_usize, width), 1..=2)],
        prop_oneof![3 => Just(vec![]), 1 => prop::collection::vec((0..4_u8, 0..5_u32, 0..6_u32), 1..=3)],
        prop::option::weighted(0.3, 0_u64..3),
    )
        .prop_map(|(tables, criteria, windows, changes, effort)| Case {
            tables,
            criteria,
            windows,
            changes,
            effort,
        })
}

fn no_worse_than_said(problem: &Problem<'_>) -> Result<(), TestCaseError> {
    let best = brute::solve(problem);
    let (outcome, evidence) = solve_with_proof(problem);
    prop_assert_eq!(&outcome, &solve(problem));
    match (&outcome, evidence) {
        (Outcome::Impossible(_), evidence) => {
            prop_assert_eq!(best, None);
            if let Evidence::Impossible(refutation) = evidence {
                prop_assert_eq!(check_impossible(&problem.statement(), &refutation), Ok(()));
            }
        }
        (Outcome::Proven(found), Evidence::Proof(proof)) => {
            prop_assert_eq!(best.map(|best| best.values), Some(found.values.clone()));
            let checked = check_proof(&problem.statement(), &found.choice, &found.values, &proof);
            prop_assert!(checked.is_ok(), "{checked:?}");
        }
        (Outcome::BestFound { solution, .. }, _) => {
            let checked = check_choice(&problem.statement(), &solution.choice, &solution.values);
            prop_assert_eq!(checked, Ok(()));
        }
        (Outcome::Proven(_), other) => prop_assert!(false, "{other:?}"),
    }
    Ok(())
}

fn without_a_budget(problem: &Problem<'_>) -> Result<(), TestCaseError> {
    let is_possible = brute::solve(problem).is_some();
    match solve_within(problem, &Budget::nodes(0)) {
        Ok(Outcome::Impossible(_)) => prop_assert!(!is_possible),
        Ok(Outcome::BestFound { solution, .. }) => {
            let checked = check_choice(&problem.statement(), &solution.choice, &solution.values);
            prop_assert_eq!(checked, Ok(()));
        }
        Ok(Outcome::Proven(_)) => prop_assert!(false, "nothing was looked at"),
        Err(nothing) => prop_assert_eq!(nothing.stop, Stop::Nodes),
    }
    Ok(())
}

/// Every other call about the same problem.
fn asked_about(problem: &Problem<'_>, tables: &[Table], ends: (i64, i64)) -> Result<(), TestCaseError> {
    let all = brute::choices(problem).len();
    if let Ok(ranked) = ranked(problem) {
        prop_assert!(ranked.take(5).count() <= all);
    }
    let ranges = [Range { table: &tables[0], low: Some(ends.0), high: Some(ends.1) }];
    let changes = smallest_changes(problem, &ranges).unwrap();
    prop_assert_eq!(changes.len(), problem.windows().len() + 2);
    prop_assert!(changes.iter().all(|change| change.by.is_none_or(|by| by >= 0)));
    // What is no slot and no item has no price either.
    let (slot, item) = (Slot::new(99), Item::new(99));
    if let Some(prices) = sensitivity(problem) {
        prop_assert_eq!(prices.forcing(slot, item), None);
    }
    if let Some(prices) = chain_prices(problem) {
        let _ = prices.forcing(slot, item);
        let best = prices.best().choice.clone();
        let others = other_items(problem, &best);
        prop_assert!(others.solution().is_none_or(|other| other.choice != best));
        if let Ok(stretches) = stretches(problem, &best) {
            prop_assert_eq!(stretches.of(slot, item), None);
            for (slot, item) in best.pairs() {
                let at = tables.iter().find(|table| std::ptr::eq(*table, problem.criteria()[0].table)).unwrap();
                let value = i128::from(at.get(slot, item).unwrap());
                let stretch = stretches.of(slot, item).unwrap();
                prop_assert!(stretch.low.is_none_or(|low| low <= value));
                prop_assert!(stretch.high.is_none_or(|high| high >= value));
            }
        }
        let near = best_within_moves(problem, &best, 0, &Budget::default()).unwrap();
        prop_assert!(near.solution().is_none_or(|found| found.choice == best));
    }
    let wrong = Choice::new(vec![item; problem.shape().slots + 1]);
    prop_assert!(best_within_moves(problem, &wrong, 1, &Budget::nodes(0)).is_err());
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4_000))]

    #[test]
    fn prop_chains_answer_or_are_rightly_refused(case in case(), ends in (any_number(), any_number())) {
        match case.problem() {
            Err(error) => prop_assert!(case.is_rightly_refused(error), "{error}"),
            Ok(problem) => {
                no_worse_than_said(&problem)?;
                without_a_budget(&problem)?;
                asked_about(&problem, &case.tables, ends)?;
            }
        }
    }
}
