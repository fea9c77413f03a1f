//! What is proven under side conditions has a proof that the checker accepts, and no broken one.

use crate::brute::{any_goal, exact_goal, shape, value};
use crate::sides::{Case, case, left_after, some_slack};
use pairwright_assign::sides::{SidedOutcome, SidedProblem, solve_sided_with_proof};
use pairwright_assign::{
    Choice, Criterion, Item, Measure, Neighbour, Problem, Sense, Shape, Sides, Slot, Solution, Table, TotalLimit,
};
use pairwright_proof::{
    Checked, Fault, Held, Prices, SidedLevel, SidedProof, SidedStep, check_sided_impossible, check_sided_proof,
    parse_sided_proof, write_sided_proof,
};
use proptest::prelude::*;

fn check(sided: &SidedProblem<'_>, solution: &Solution, proof: &SidedProof) -> Result<Checked, Fault> {
    let statement = sided.problem().statement();
    check_sided_proof(&statement, sided.sides(), &solution.choice, &solution.values, proof)
}

fn check_none(sided: &SidedProblem<'_>, proof: &SidedProof) -> Result<(), Fault> {
    check_sided_impossible(&sided.problem().statement(), sided.sides(), proof)
}

fn is_far(&(measure, sense): &(Measure, Sense)) -> bool {
    match measure {
        Measure::Spread | Measure::WorstFrom { .. } | Measure::SquaresAboutMean | Measure::Greatest => {
            sense == Sense::Most
        }
        Measure::Least => sense == Sense::Least,
        Measure::Total | Measure::SquaresFrom { .. } => false,
    }
}

/// Trees that cannot hold: a step too few or too many, a name of nothing, a price too high, a set that competes no more.
fn broken(steps: &[SidedStep]) -> Vec<Vec<SidedStep>> {
    let mut all = vec![[steps, &[SidedStep::Split(Slot::new(0))]].concat()];
    if let Some((_, but_last)) = steps.split_last() {
        all.push(but_last.to_vec());
    }
    for (at, step) in steps.iter().enumerate() {
        let mut replace = |step: SidedStep| {
            let mut changed = steps.to_vec();
            changed[at] = step;
            all.push(changed);
        };
        replace(SidedStep::Slots(vec![]));
        replace(SidedStep::Slots(vec![Slot::new(99)]));
        replace(SidedStep::Items(vec![]));
        replace(SidedStep::Items(vec![Item::new(99)]));
        replace(SidedStep::Split(Slot::new(99)));
        replace(SidedStep::Halve { of: Held::Level(99), at: 0 });
        replace(SidedStep::Prices { of: vec![], prices: Prices::default() });
        match step {
            SidedStep::Slots(slots) => {
                replace(SidedStep::Slots(slots[1..].to_vec()));
                replace(SidedStep::Slots(slots.iter().rev().copied().chain([Slot::new(0)]).collect()));
            }
            SidedStep::Items(items) => replace(SidedStep::Items(items[1..].to_vec())),
            SidedStep::Prices { of, prices } => {
                for slot in 0..prices.slots.len() {
                    let mut dear = prices.clone();
                    dear.slots[slot] += 1;
                    replace(SidedStep::Prices { of: of.clone(), prices: dear });
                }
                let mut fewer = prices.clone();
                fewer.slots.pop();
                replace(SidedStep::Prices { of: of.clone(), prices: fewer });
                let turned = of.iter().map(|&(name, weight)| (name, -weight)).collect();
                replace(SidedStep::Prices { of: turned, prices: prices.clone() });
            }
            SidedStep::Halve { .. } | SidedStep::Split(_) => {}
        }
    }
    all
}

/// Trees that may hold by chance, but never show what is not so: any step left out, numbers changed, places exchanged.
fn bent(steps: &[SidedStep]) -> Vec<Vec<SidedStep>> {
    let mut all = Vec::new();
    for (at, step) in steps.iter().enumerate() {
        let mut without = steps.to_vec();
        without.remove(at);
        all.push(without);
        let mut swapped = steps.to_vec();
        swapped.swap(at, 0);
        all.push(swapped);
        let mut changed = steps.to_vec();
        changed[at] = match step {
            SidedStep::Slots(slots) => {
                SidedStep::Slots(slots.iter().map(|slot| Slot::new(slot.number() + 1)).collect())
            }
            SidedStep::Items(items) => {
                SidedStep::Items(items.iter().map(|item| Item::new(item.number() + 1)).collect())
            }
            SidedStep::Split(slot) => SidedStep::Split(Slot::new(slot.number() ^ 1)),
            SidedStep::Halve { of, at } => SidedStep::Halve { of: *of, at: at - 1 },
            SidedStep::Prices { of, prices } => {
                let mut prices = prices.clone();
                prices.items.iter_mut().for_each(|(_, price)| *price += 1);
                SidedStep::Prices { of: of.clone(), prices }
            }
        };
        all.push(changed);
    }
    all
}

fn with_steps(levels: &[SidedLevel], at: usize, steps: Vec<SidedStep>) -> SidedProof {
    let mut levels = levels.to_vec();
    levels[at].steps = steps;
    SidedProof::Levels(levels)
}

fn accepted(case: &Case) -> Result<(), TestCaseError> {
    let sided = case.problem();
    let best = left_after(&sided, case.chain.len()).into_iter().next();
    let (outcome, proof) = solve_sided_with_proof(&sided);
    match (outcome, proof) {
        (SidedOutcome::Proven(solution), proof) => {
            prop_assert_eq!(Some(solution.choice.items().to_vec()), best);
            let near = case.chain.iter().take_while(|(_, goal, _)| !is_far(goal)).count();
            prop_assert_eq!(proof.is_some(), near > 0);
            let Some(proof) = proof else { return Ok(()) };
            prop_assert_eq!(check(&sided, &solution, &proof), Ok(Checked { levels: near, of: case.chain.len() }));
            prop_assert_eq!(parse_sided_proof(&write_sided_proof(&proof)), Ok(proof.clone()));
            prop_assert!(check_none(&sided, &proof).is_err());
        }
        (SidedOutcome::Impossible(_), Some(proof)) => {
            prop_assert_eq!(best, None);
            prop_assert_eq!(check_none(&sided, &proof), Ok(()));
            prop_assert_eq!(parse_sided_proof(&write_sided_proof(&proof)), Ok(proof));
        }
        other => prop_assert!(false, "{other:?}"),
    }
    Ok(())
}

fn refused(case: &Case, pick: prop::sample::Index) -> Result<(), TestCaseError> {
    let sided = case.problem();
    match solve_sided_with_proof(&sided) {
        (SidedOutcome::Proven(solution), Some(SidedProof::Levels(levels))) => {
            for at in 0..levels.len() {
                for steps in broken(&levels[at].steps) {
                    let proof = with_steps(&levels, at, steps);
                    prop_assert!(check(&sided, &solution, &proof).is_err(), "{proof:?}");
                }
                for change in [-1, 1] {
                    let mut levels = levels.clone();
                    levels[at].best += change;
                    prop_assert!(check(&sided, &solution, &SidedProof::Levels(levels)).is_err());
                }
            }
            worse_is_refused(case, &sided, &levels, pick)?;
        }
        (_, Some(SidedProof::Impossible(steps))) => {
            for steps in broken(&steps) {
                let proof = SidedProof::Impossible(steps);
                prop_assert!(check_none(&sided, &proof).is_err(), "{proof:?}");
            }
        }
        _ => {}
    }
    Ok(())
}

/// No tree, however bent, shows that a choice is best which is not.
fn worse_is_refused(
    case: &Case,
    sided: &SidedProblem<'_>,
    levels: &[SidedLevel],
    pick: prop::sample::Index,
) -> Result<(), TestCaseError> {
    let criterion = &sided.problem().criteria()[0];
    let all = left_after(sided, 0);
    let chosen = &all[pick.index(all.len())];
    let found = value(criterion, chosen);
    if found == levels[0].best {
        return Ok(());
    }
    let values = sided.problem().criteria().iter().map(|criterion| value(criterion, chosen)).collect();
    let worse = Solution { choice: Choice::new(chosen.clone()), values };
    for steps in bent(&levels[0].steps) {
        let claim = SidedLevel { best: found, witness: None, steps };
        let proof = SidedProof::Levels(vec![claim]);
        prop_assert!(check(sided, &worse, &proof).is_err(), "{:?} {:?}", case, proof);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4_000))]

    #[test]
    fn prop_small_problems_with_any_sides(case in case(shape(1..=4, 3), any_goal(), some_slack())) {
        accepted(&case)?;
    }

    #[test]
    fn prop_broken_proofs_are_refused(
        case in case(shape(2..=4, 3), exact_goal(), some_slack()),
        pick in any::<prop::sample::Index>(),
    ) {
        refused(&case, pick)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn prop_larger_problems_with_any_sides(case in case(shape(5..=5, 2), exact_goal(), some_slack())) {
        accepted(&case)?;
    }

    #[test]
    fn prop_broken_proofs_of_larger_problems_are_refused(
        case in case(shape(5..=5, 2), exact_goal(), some_slack()),
        pick in any::<prop::sample::Index>(),
    ) {
        refused(&case, pick)?;
    }
}

/// Numbers without a pattern.
fn numbers(shape: Shape, seed: u32, range: u32) -> Table {
    let mixed = |slot: Slot, item: Item| (slot.number() * 131 + item.number() * 17 + seed).wrapping_mul(2_654_435_761);
    Table::from_fn(shape, |slot, item| Some(i64::from((mixed(slot, item) >> 7) % range))).unwrap()
}

/// The steps of the proof of a problem, accepted as they are and refused broken; none if there is no choice.
fn steps_of(sided: &SidedProblem<'_>) -> Vec<SidedStep> {
    let (outcome, Some(proof)) = solve_sided_with_proof(sided) else { panic!("soon searched") };
    let (Some(solution), SidedProof::Levels(levels)) = (outcome.solution(), &proof) else { return Vec::new() };
    let all = sided.problem().criteria().len();
    assert_eq!(check(sided, solution, &proof), Ok(Checked { levels: all, of: all }));
    for at in 0..levels.len() {
        for steps in broken(&levels[at].steps) {
            assert!(check(sided, solution, &with_steps(levels, at, steps)).is_err());
        }
    }
    levels.iter().flat_map(|level| level.steps.clone()).collect()
}

#[test]
fn every_kind_of_step_is_taken_somewhere() {
    let shape = Shape { slots: 6, items: 9 };
    let mut steps = Vec::new();
    for seed in 1..=8 {
        let (values, prices) = (numbers(shape, seed, 900), numbers(shape, 50 + seed, 90));
        let two = |slots: &[u32]| Neighbour {
            one: Slot::new(slots[0]),
            other: Slot::new(slots[1]),
            table: &values,
            most: 200,
        };
        let near = Sides { neighbours: [0, 1, 2, 3, 4, 5].windows(2).map(two).collect(), ..Sides::default() };
        let total = TotalLimit { table: &prices, least: None, most: Some(i128::from(40 * seed)) };
        let cheap = Sides { totals: vec![total], ..Sides::default() };
        for measure in
            [Measure::Spread, Measure::Total, Measure::SquaresFrom { target: 400 }, Measure::SquaresAboutMean]
        {
            let chain = vec![Criterion { table: &values, measure, sense: Sense::Least, slack: 0 }];
            for sides in [&near, &cheap] {
                let problem = Problem::new(chain.clone(), vec![]).unwrap();
                steps.extend(steps_of(&SidedProblem::new(problem, sides.clone()).unwrap()));
            }
        }
    }
    let count = |kind: fn(&SidedStep) -> bool| steps.iter().filter(|step| kind(step)).count();
    let counts = [
        count(|step| matches!(step, SidedStep::Slots(_))),
        count(|step| matches!(step, SidedStep::Split(_))),
        count(|step| matches!(step, SidedStep::Halve { .. })),
        count(|step| matches!(step, SidedStep::Prices { of, .. } if of.len() == 1)),
        count(|step| matches!(step, SidedStep::Prices { of, .. } if of.len() == 2)),
    ];
    assert!(counts.iter().all(|&count| count > 0), "{counts:?}");
}

#[test]
fn items_that_must_be_used_can_compete() {
    // Items 0, 1 and 2 go to slots 0 and 1 only, and have to come together.
    let shape = Shape { slots: 4, items: 8 };
    let table = Table::from_fn(shape, |slot, item| (slot.index() < 2 || item.index() > 2).then_some(1)).unwrap();
    let total = Criterion { table: &table, measure: Measure::Total, sense: Sense::Least, slack: 0 };
    let problem = Problem::new(vec![total], vec![]).unwrap().bring_in(Item::new(1)).unwrap();
    let sides = Sides { together: vec![[0, 1, 2].map(Item::new).to_vec()], ..Sides::default() };
    let sided = SidedProblem::new(problem, sides).unwrap();
    let (SidedOutcome::Impossible(_), Some(proof)) = solve_sided_with_proof(&sided) else { panic!("three for two") };
    assert_eq!(proof, SidedProof::Impossible(vec![SidedStep::Items([0, 1, 2].map(Item::new).to_vec())]));
    assert_eq!(check_none(&sided, &proof), Ok(()));
    let fewer = SidedProof::Impossible(vec![SidedStep::Items([0, 1].map(Item::new).to_vec())]);
    assert!(check_none(&sided, &fewer).is_err());
    let free = SidedProof::Impossible(vec![SidedStep::Items([0, 1, 3].map(Item::new).to_vec())]);
    assert!(check_none(&sided, &free).is_err());
}
