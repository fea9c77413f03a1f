//! Side conditions and 0/1 models, several items a slot, two kinds of items.

use super::chains::{self, measure, sense};
use super::{any_number, brute, shape, table};
use pairwright_assign::program::{ProgramOutcome, solve_program};
use pairwright_assign::several::{SeveralOutcome, SeveralProblem, solve_several, solve_several_within};
use pairwright_assign::sides::{SidedOutcome, SidedProblem, solve_sided, solve_sided_within};
use pairwright_assign::{
    Along, Budget, Choice, Couple, Item, JointAim, JointChoice, JointOutcome, JointProblem, JointStatement, Neighbour,
    NoProof, Outer, Pile, Roles, Scale, Shape, Sides, Slot, Table, TotalLimit, Worth, prove_joint,
    prove_joint_impossible, solve_joint,
};
use pairwright_proof::{
    check_bundles, check_joint, check_joint_impossible, check_several_impossible, check_several_proof, check_sided,
};
use proptest::prelude::*;
use std::time::Duration;

#[derive(Clone, Debug)]
struct Conditions {
    neighbours: Vec<(u32, u32, i64)>,
    totals: Vec<(Option<i128>, Option<i128>)>,
    sets: Vec<Vec<u32>>,
    along: Vec<(u32, u32)>,
}

impl Conditions {
    fn sides<'t>(&self, table: &'t Table) -> Sides<'t> {
        let set = |set: &Vec<u32>| set.iter().copied().map(Item::new).collect::<Vec<_>>();
        let neighbour = |&(one, other, most): &(u32, u32, i64)| Neighbour {
            one: Slot::new(one),
            other: Slot::new(other),
            table,
            most,
        };
        let along = |&(item, with): &(u32, u32)| Along { item: Item::new(item), with: Item::new(with) };
        Sides {
            neighbours: self.neighbours.iter().map(neighbour).collect(),
            totals: self.totals.iter().map(|&(least, most)| TotalLimit { table, least, most }).collect(),
            together: self.sets.iter().map(set).collect(),
            along: self.along.iter().map(along).collect(),
            exclusive: self.sets.iter().map(set).collect(),
        }
    }
}

/// Contradictory as often as not: the same sets together and exclusive, limits upside down.
fn conditions() -> impl Strategy<Value = Conditions> {
    let end = prop_oneof![Just(i128::MIN), Just(i128::MAX), Just(0), -3_i128..=3];
    (
        prop::collection::vec((0..5_u32, 0..5_u32, any_number()), 0..=1),
        prop::collection::vec((prop::option::of(end.clone()), prop::option::of(end)), 0..=2),
        prop::collection::vec(prop::collection::vec(0..6_u32, 0..=3), 0..=2),
        prop::collection::vec((0..6_u32, 0..6_u32), 0..=1),
    )
        .prop_map(|(neighbours, totals, sets, along)| Conditions { neighbours, totals, sets, along })
}

fn sided_holds(sided: &SidedProblem<'_>, outcome: &SidedOutcome) -> Result<(), TestCaseError> {
    if let Some(found) = outcome.solution() {
        let checked = check_sided(&sided.problem().statement(), sided.sides(), &found.choice, &found.values);
        prop_assert_eq!(checked, Ok(()));
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_500))]

    #[test]
    fn prop_sides_answer_or_are_refused(case in chains::case(), conditions in conditions()) {
        let Ok(problem) = case.problem() else { return Ok(()) };
        let Ok(sided) = SidedProblem::new(problem, conditions.sides(&case.tables[0])) else { return Ok(()) };
        let kept = |choice: &Vec<Item>| {
            let choice = Choice::new(choice.clone());
            let values: Vec<i128> =
                sided.problem().criteria().iter().map(|criterion| brute::value(criterion, choice.items())).collect();
            check_sided(&sided.problem().statement(), sided.sides(), &choice, &values).is_ok()
        };
        let is_possible = brute::choices(sided.problem()).iter().any(|choice| {
            let allowed = (0..).map(Slot::new).zip(choice).all(|(slot, &item)| case.tables[0].get(slot, item).is_some());
            (sided.sides().neighbours.is_empty() && sided.sides().totals.is_empty() || allowed) && kept(choice)
        });
        for outcome in [solve_sided(&sided), solve_sided_within(&sided, &Budget::nodes(0))] {
            sided_holds(&sided, &outcome)?;
            match outcome {
                SidedOutcome::Proven(_) | SidedOutcome::BestFound { .. } => prop_assert!(is_possible),
                SidedOutcome::Impossible(_) => prop_assert!(!is_possible),
                SidedOutcome::Undecided { .. } => {}
            }
        }
    }

    #[test]
    fn prop_bundles_answer_or_are_refused(
        shape in shape(),
        each in 0..=3_usize,
        (measure, sense) in (measure(), sense()),
        base in prop::collection::vec(any_number(), 0..=4),
        table in shape().prop_flat_map(table),
        odd in prop::option::of(any_number()),
        told in any::<bool>(),
    ) {
        let roles = if told { Roles::Told } else { Roles::Alike };
        let pile = Pile { slots: shape.slots, items: shape.items, each, roles };
        let function = |slot: Slot, items: &[Item]| odd.filter(|_| items.len() != slot.index());
        let worth = if odd.is_some() { Worth::Function(&function) } else { Worth::Sum { base: &base, table: &table } };
        let Ok(problem) = SeveralProblem::new(pile, &worth, measure, sense) else { return Ok(()) };
        for outcome in [
            solve_several(&problem),
            solve_several(&problem.clone().with_effort(0)),
            solve_several_within(&problem, &Budget::nodes(0)),
        ] {
            match &outcome {
                SeveralOutcome::Proven { arrangement: found, proof, .. } => {
                    let checked =
                        check_several_proof(pile, &worth, (measure, sense), &found.bundles, found.value, proof);
                    prop_assert_eq!(checked, Ok(()));
                }
                SeveralOutcome::Impossible { proof, .. } => {
                    prop_assert_eq!(check_several_impossible(pile, &worth, proof), Ok(()));
                }
                other => {
                    if let Some(found) = other.arrangement() {
                        prop_assert_eq!(check_bundles(pile, &worth, measure, &found.bundles, found.value), Ok(()));
                    }
                }
            }
        }
    }
}

fn aim() -> impl Strategy<Value = JointAim> {
    prop_oneof![
        Just(JointAim::Spread),
        Just(JointAim::SquaresAboutMean),
        Just(JointAim::Total),
        any_number().prop_map(|target| JointAim::WorstFrom { target }),
        any_number().prop_map(|target| JointAim::SquaresFrom { target }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_500))]

    #[test]
    fn prop_joint_choices_answer_or_are_refused(
        (first, second) in (shape(), shape(), any::<bool>()).prop_flat_map(|(one, other, fits)| {
            let other = if fits { Shape { slots: one.slots, ..other } } else { other };
            (table(one), table(other))
        }),
        offsets in prop::collection::vec(prop::collection::vec(super::value(), 0..=4), 0..=2),
        fits in any::<bool>(),
        barred in prop::collection::vec((0..6_u32, 0..6_u32), 0..=2),
        aim in aim(),
        map in prop::option::of(prop::option::of(any_number())),
        start in prop::collection::vec(0..6_u32, 0..=4),
    ) {
        let mut offsets = offsets;
        if fits {
            for outer in &mut offsets {
                outer.resize(first.shape().slots, 0);
            }
        }
        let barred: Vec<Couple> = barred
            .iter()
            .map(|&(first, second)| Couple { first: Item::new(first), second: Item::new(second) })
            .collect();
        let constant = move |_: Slot, _: i64| map.flatten();
        let scale = if map.is_some() { Scale::Map(&constant) } else { Scale::Sum };
        let statement = JointStatement { first: &first, second: &second, barred: &barred, offsets: &offsets, scale, beside: None };
        let Ok(problem) = JointProblem::new(statement, aim) else { return Ok(()) };
        let kind = || Choice::new(start.iter().copied().map(Item::new).collect());
        let choice = JointChoice { outer: Outer::new(1), first: kind(), second: kind() };
        let started = problem.clone().start_from(choice);
        for problem in [Some(problem), started.ok()].iter().flatten() {
            for budget in [Budget::default(), Budget::nodes(0)] {
                let Ok(outcome) = solve_joint(problem, &budget) else { continue };
                if let JointOutcome::Proven(found) | JointOutcome::BestFound { solution: found, .. } = &outcome
                    && statement.slots() > 0
                {
                    prop_assert_eq!(check_joint(&statement, aim.measure(), &found.choice, found.value), Ok(()));
                    let _ = prove_joint(problem, found.value, &budget);
                }
            }
            match (solve_joint(problem, &Budget::default()), prove_joint_impossible(problem, &Budget::default())) {
                (Ok(JointOutcome::Impossible(_)), Ok(proof)) => {
                    prop_assert_eq!(check_joint_impossible(&statement, None, &proof), Ok(()));
                }
                // A kind that falls short is seen before any value is.
                (Ok(JointOutcome::Impossible(_)), Err(error)) => prop_assert!(matches!(error, NoProof::Problem(_))),
                (_, proof) => prop_assert!(proof.is_err()),
            }
            for value in [i128::MIN, i128::MIN + 1, -1, 0, 1, i128::MAX] {
                let _ = prove_joint(problem, value, &Budget::nodes(0));
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn prop_models_answer_or_are_refused(case in chains::case(), conditions in conditions(), first_try in 0_u64..3) {
        let Ok(problem) = case.problem() else { return Ok(()) };
        let Ok(sided) = SidedProblem::new(problem, conditions.sides(&case.tables[1])) else { return Ok(()) };
        let Ok(outcome) = solve_program(&sided, first_try, Some(Duration::from_secs(2))) else { return Ok(()) };
        if let ProgramOutcome::BestFound { solution, .. } = &outcome {
            let checked = check_sided(&sided.problem().statement(), sided.sides(), &solution.choice, &solution.values);
            prop_assert_eq!(checked, Ok(()));
        }
    }
}
