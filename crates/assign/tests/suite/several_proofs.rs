//! What is proven of several items a slot has a proof that the checker accepts, and no broken one.

use crate::several::{Case, arrangements, case, measured, odd};
use pairwright_assign::several::{
    SeveralOutcome, SeveralProblem, Tie, Unproven, prove_several, prove_several_impossible, solve_several,
    solve_several_within,
};
use pairwright_assign::{Budget, Bundles, Item, Measure, Pile, Reason, Roles, Sense, Shape, Slot, Stop, Table, Worth};
use pairwright_proof::{
    SeveralFault, SeveralProof, SeveralProofFault, SeveralStep, check_several_impossible, check_several_proof,
    parse_several_proof, write_several_proof,
};
use proptest::prelude::*;

/// Far out of every range.
const NOWHERE: u32 = 9_999;

/// Proofs that cannot hold: cut off anywhere, a step too many, or one that names what is not there.
fn broken(proof: &SeveralProof) -> Vec<SeveralProof> {
    let steps = &proof.steps;
    let mut all: Vec<Vec<SeveralStep>> = (0..steps.len().min(20)).map(|at| steps[..at].to_vec()).collect();
    all.push([steps, &[SeveralStep::Short(vec![])][..]].concat());
    for at in 0..steps.len().min(12) {
        let mut replace = |step: SeveralStep| {
            let mut changed = steps.clone();
            changed[at] = step;
            all.push(changed);
        };
        let prices = |scale, items| SeveralStep::Prices { scale, about: 0, items };
        replace(SeveralStep::Short(vec![]));
        replace(SeveralStep::Short(vec![Slot::new(NOWHERE)]));
        replace(SeveralStep::Each(Slot::new(NOWHERE)));
        replace(SeveralStep::Seat(Item::new(NOWHERE)));
        replace(prices(0, vec![]));
        replace(prices(1, vec![(Item::new(NOWHERE), -1)]));
        replace(prices(1, vec![(Item::new(0), -1), (Item::new(0), -2)]));
        replace(SeveralStep::Tops(vec![1, 1]));
        replace(SeveralStep::Sums(vec![2, 1]));
    }
    all.into_iter().map(|steps| SeveralProof { steps }).collect()
}

/// Proofs with something left out, exchanged or counted on; some of them may still show what is true.
fn bent(proof: &SeveralProof, seed: u64) -> Vec<SeveralProof> {
    let steps = &proof.steps;
    let mut all = Vec::new();
    for at in 0..steps.len().min(15) {
        let mut put = |changed: &dyn Fn(&mut Vec<SeveralStep>)| {
            let mut steps = steps.clone();
            changed(&mut steps);
            all.push(SeveralProof { steps });
        };
        let other = usize::try_from(seed % steps.len() as u64).unwrap();
        put(&|steps| drop(steps.remove(at)));
        put(&|steps| steps.swap(at, other));
        put(&|steps| steps.insert(at, steps[other].clone()));
        put(&|steps| bend(&mut steps[at], seed));
    }
    all
}

fn bend(step: &mut SeveralStep, seed: u64) {
    let by = if seed.is_multiple_of(2) { 1 } else { -1 };
    let next = |number: u32| number + 1 + u32::from(seed.is_multiple_of(3));
    match step {
        SeveralStep::Short(slots) => drop(slots.pop()),
        SeveralStep::Each(slot) => *slot = Slot::new(next(slot.number())),
        SeveralStep::Seat(item) => *item = Item::new(next(item.number())),
        SeveralStep::Tops(cuts) => cuts.iter_mut().for_each(|cut| *cut += by),
        SeveralStep::Sums(cuts) => cuts.iter_mut().for_each(|cut| *cut += i128::from(by)),
        SeveralStep::Prices { scale, about, items } => {
            *scale += i128::from(seed % 2);
            *about += i128::from(by) * i128::from(seed % 50);
            for (_, price) in items {
                *price += i128::from(by) * i128::from(seed % 7);
            }
        }
    }
}

/// Proves the best and the impossible, and neither for anything else.
fn proofs_hold(case: &Case, pick: prop::sample::Index, seed: u64) -> Result<(), TestCaseError> {
    let function = |slot: Slot, items: &[Item]| odd(slot, items, case.odd.unwrap());
    let worth = match case.odd {
        Some(_) => Worth::Function(&function),
        None => Worth::Sum { base: &case.base, table: &case.table },
    };
    let problem = SeveralProblem::new(case.pile, &worth, case.measure, case.sense).unwrap();
    let all = arrangements(case.pile, &worth);
    let budget = Budget::default();
    let none = prove_several_impossible(&problem, &budget);
    let sign = if case.sense == Sense::Least { 1 } else { -1 };
    let worths: Vec<i128> = all.iter().map(|(_, values)| measured(case.measure, values)).collect();
    let Some(best) = worths.iter().copied().min_by_key(|value| sign * value) else {
        let none = none.unwrap();
        prop_assert_eq!(check_several_impossible(case.pile, &worth, &none), Ok(()));
        for broken in broken(&none) {
            prop_assert!(check_several_impossible(case.pile, &worth, &broken).is_err(), "{:?}", broken);
        }
        return Ok(());
    };
    prop_assert_eq!(none, Err(Unproven::NotBest));
    let proof = prove_several(&problem, best, &budget).unwrap();
    let read = parse_several_proof(&write_several_proof(&proof));
    prop_assert_eq!(read.as_ref(), Ok(&proof));
    let check = |at: usize, claimed: i128, proof: &SeveralProof| {
        let bundles = Bundles(all[at].0.clone());
        check_several_proof(case.pile, &worth, (case.measure, case.sense), &bundles, claimed, proof)
    };
    let first = worths.iter().position(|&value| value == best).unwrap();
    prop_assert_eq!(check(first, best, &proof), Ok(()));
    // A claim tightened by one is not what the bundles are worth.
    let tightened = check(first, best - sign, &proof);
    let is_value = matches!(tightened, Err(SeveralProofFault::Bundles(SeveralFault::Value { .. })));
    prop_assert!(is_value, "{:?}", tightened);
    let is_empty = case.pile.slots == 0
        || (best == 0 && !matches!(case.measure, Measure::Total | Measure::Greatest | Measure::Least));
    for broken in broken(&proof).iter().filter(|_| !is_empty) {
        prop_assert!(check(first, best, broken).is_err(), "{:?}", broken);
    }
    let at = pick.index(all.len());
    if worths[at] != best {
        prop_assert_eq!(prove_several(&problem, worths[at], &budget), Err(Unproven::NotBest));
        prop_assert!(check(at, worths[at], &proof).is_err());
    }
    for bent in bent(&proof, seed) {
        prop_assert!(worths[at] == best || check(at, worths[at], &bent).is_err(), "{:?}", bent);
        prop_assert!(check_several_impossible(case.pile, &worth, &bent).is_err(), "{:?}", bent);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_500))]

    #[test]
    fn prop_bundles_are_proven(case in case(), pick in any::<prop::sample::Index>(), seed in any::<u64>()) {
        proofs_hold(&case, pick, seed)?;
    }
}

/// Every kind of step is made somewhere, by problems with and without spare items.
#[test]
fn every_kind_of_step_is_taken() {
    let mut taken = [false; 6];
    for (slots, items, roles) in
        [(3, 6, Roles::Alike), (3, 8, Roles::Alike), (3, 6, Roles::Told), (5, 10, Roles::Alike)]
    {
        let effects: Vec<i64> = (1..=items).map(|item: i64| item * (37 * item + 1) % 101).collect();
        let base: Vec<i64> = (0..slots).map(|slot: i64| slot * slot * 13 % 31).collect();
        let shape = Shape { slots: base.len(), items: effects.len() };
        let table = Table::from_fn(shape, |_, item| Some(effects[item.index()])).unwrap();
        let pile = Pile { slots: base.len(), items: effects.len(), each: 2, roles };
        let worth = Worth::Sum { base: &base, table: &table };
        let measures = [
            Measure::Spread,
            Measure::SquaresAboutMean,
            Measure::SquaresFrom { target: 95 },
            Measure::WorstFrom { target: 95 },
        ];
        for measure in measures {
            let problem = SeveralProblem::new(pile, &worth, measure, Sense::Least).unwrap();
            let SeveralOutcome::Proven { arrangement: best, proof, .. } = solve_several(&problem) else {
                panic!("few bundles")
            };
            let asked = (measure, Sense::Least);
            assert_eq!(check_several_proof(pile, &worth, asked, &best.bundles, best.value, &proof), Ok(()));
            for step in &proof.steps {
                taken[kind(step)] = true;
            }
        }
    }
    assert_eq!(taken, [true; 6]);
}

fn kind(step: &SeveralStep) -> usize {
    match step {
        SeveralStep::Short(_) => 0,
        SeveralStep::Prices { .. } => 1,
        SeveralStep::Each(_) => 2,
        SeveralStep::Seat(_) => 3,
        SeveralStep::Tops(_) => 4,
        SeveralStep::Sums(_) => 5,
    }
}

#[test]
fn a_budget_ends_a_proof_and_odd_values_have_none() {
    let table = Table::from_fn(Shape { slots: 2, items: 5 }, |_, item| Some(1 << (3 * item.number()))).unwrap();
    let pile = Pile { slots: 2, items: 5, each: 2, roles: Roles::Alike };
    let worth = Worth::Sum { base: &[0, 1], table: &table };
    let problem = SeveralProblem::new(pile, &worth, Measure::Spread, Sense::Least).unwrap();
    let SeveralOutcome::Proven { arrangement: best, .. } = solve_several(&problem) else {
        panic!("ten bundles a slot")
    };
    assert!(best.value > 0);
    let proof = prove_several(&problem, best.value, &Budget::nodes(0));
    assert_eq!(proof, Err(Unproven::Unfinished(Reason::Stopped(Stop::Nodes))));
    assert_eq!(prove_several(&problem, -1, &Budget::default()), Err(Unproven::Value));
    assert_eq!(prove_several(&problem, i128::MAX, &Budget::default()), Err(Unproven::Value));
    assert_eq!(prove_several(&problem, i128::MIN, &Budget::default()), Err(Unproven::Value));
}

/// The more nodes, the further: nothing yet, something, the best without its proof, and all of it.
#[test]
fn a_growing_budget_ends_in_every_way() {
    let effects = [1, 7, 12, 20, 31, 45, 58, 66];
    let table = Table::from_fn(Shape { slots: 3, items: 8 }, |_, item| Some(effects[item.index()])).unwrap();
    let pile = Pile { slots: 3, items: 8, each: 2, roles: Roles::Alike };
    let worth = Worth::Sum { base: &[0, 3, 40], table: &table };
    let problem = SeveralProblem::new(pile, &worth, Measure::Spread, Sense::Least).unwrap();
    let mut ends = Vec::new();
    for nodes in 0.. {
        let outcome = solve_several_within(&problem, &Budget::nodes(nodes));
        let end = match outcome {
            SeveralOutcome::Undecided { .. } => "nothing",
            SeveralOutcome::BestFound { .. } => "something",
            SeveralOutcome::Searched { why, .. } => {
                assert_eq!(why, Unproven::Unfinished(Reason::Stopped(Stop::Nodes)));
                "searched"
            }
            SeveralOutcome::Proven { tie, .. } => {
                assert_eq!(tie, Tie::First);
                break;
            }
            SeveralOutcome::Impossible { .. } => panic!("there is an arrangement"),
        };
        if ends.last() != Some(&end) {
            ends.push(end);
        }
    }
    assert_eq!(ends, ["nothing", "something", "searched"]);
}

/// Seven slots of two out of forty: proofs are short, whatever is asked, and so is the one that there is nothing.
#[test]
fn full_sized_piles_have_short_proofs() {
    let mut state = 1_u64;
    let mut size = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        i64::try_from((state >> 33) % 200_000).unwrap()
    };
    let (base, effects): (Vec<i64>, Vec<i64>) = ((0..7).map(|_| size()).collect(), (0..40).map(|_| size()).collect());
    let table = Table::from_fn(Shape { slots: 7, items: 40 }, |_, item| Some(effects[item.index()])).unwrap();
    let pile = Pile { slots: 7, items: 40, each: 2, roles: Roles::Alike };
    let worth = Worth::Sum { base: &base, table: &table };
    let target = 250_000;
    let asked = [
        (Measure::Spread, Sense::Least),
        (Measure::WorstFrom { target }, Sense::Least),
        (Measure::Greatest, Sense::Least),
        (Measure::Least, Sense::Most),
        (Measure::Total, Sense::Most),
        (Measure::SquaresFrom { target }, Sense::Least),
        (Measure::SquaresAboutMean, Sense::Least),
    ];
    let mut nearest = 0;
    for asked in asked {
        let problem = SeveralProblem::new(pile, &worth, asked.0, asked.1).unwrap();
        let SeveralOutcome::Proven { arrangement, tie, proof } = solve_several(&problem) else { panic!("{asked:?}") };
        assert_eq!(tie, Tie::First);
        let checked = check_several_proof(pile, &worth, asked, &arrangement.bundles, arrangement.value, &proof);
        assert_eq!(checked, Ok(()));
        assert!(proof.numbers() <= 12_000, "{asked:?}: {}", proof.numbers());
        if let Measure::WorstFrom { .. } = asked.0 {
            nearest = i64::try_from(arrangement.value).unwrap();
        }
    }
    let nearer = |slot: Slot, items: &[Item]| worth.value(slot, items).filter(|v| (v - target).abs() < nearest);
    let worth = Worth::Function(&nearer);
    let problem = SeveralProblem::new(pile, &worth, Measure::Total, Sense::Least).unwrap();
    let SeveralOutcome::Impossible { proof, .. } = solve_several(&problem) else { panic!("nothing is nearer") };
    assert_eq!(check_several_impossible(pile, &worth, &proof), Ok(()));
    assert!(proof.numbers() <= 1_000, "{}", proof.numbers());
}
