//! Every proven value of every aim has a proof that the checker accepts, and none that is broken.

use super::all::{Parts, aim, key, parts};
use pairwright_assign::{
    Budget, Choice, Couple, Item, JointAim, JointChoice, JointOutcome, JointProblem, JointSolution, JointStatement,
    Measure, NoProof, Outer, Scale, Shape, Side, Slot, Table, prove_joint, solve_joint,
};
use pairwright_proof::{
    JointProof, JointProofFault, OuterProof, Segment, Step, evaluate_joint, parse_joint_proof, verify_joint,
    write_joint_proof,
};
use proptest::prelude::*;

fn solved(problem: &JointProblem<'_>) -> Option<JointSolution> {
    solve_joint(problem, &Budget::default()).unwrap().solution().cloned()
}

fn verify(parts: &Parts, aim: JointAim, solution: &JointSolution, proof: &JointProof) -> Result<(), JointProofFault> {
    verify_joint(&parts.statement(), aim.measure(), &solution.choice, solution.value, proof)
}

/// Every way to break a proof by taking out, or exchanging, one thing.
pub(super) fn broken(proof: &JointProof) -> Vec<JointProof> {
    let mut all = Vec::new();
    let mut with = |outer: usize, changed: OuterProof| {
        let mut broken = proof.clone();
        broken.outers[outer] = changed;
        all.push(broken);
    };
    for (at, outer) in proof.outers.iter().enumerate() {
        with(at, OuterProof::Like(Outer::new(u32::try_from(at).unwrap())));
        let OuterProof::Windows(segments) = outer else { continue };
        for cut in 0..segments.len() {
            let mut without = segments.clone();
            without.remove(cut);
            with(at, OuterProof::Windows(without));
            for steps in tampered(&segments[cut].steps) {
                let mut changed = segments.clone();
                changed[cut] = Segment { steps, ..segments[cut].clone() };
                with(at, OuterProof::Windows(changed));
            }
        }
    }
    let mut fewer = proof.clone();
    fewer.outers.pop();
    all.push(fewer);
    all
}

fn tampered(steps: &[Step]) -> Vec<Vec<Step>> {
    let mut all = vec![steps[..steps.len() - 1].to_vec(), [steps, &[Step::Total]].concat()];
    for at in 0..steps.len() {
        let mut replace = |step: Step| {
            let mut changed = steps.to_vec();
            changed[at] = step;
            all.push(changed);
        };
        replace(Step::Split { slot: Slot::new(99), side: Side::First });
        replace(Step::Seat { side: Side::Second, item: Item::new(99) });
        replace(Step::Short { side: Side::First, slots: vec![Slot::new(99)] });
        replace(Step::Short { side: Side::Second, slots: vec![] });
        if let Step::Cover { first, second } = &steps[at] {
            // No fewer items are in every pair, and as many as there are slots close nothing.
            for cut in 0..first.len() {
                let first = [&first[..cut], &first[cut + 1..]].concat();
                replace(Step::Cover { first, second: second.clone() });
            }
            for cut in 0..second.len() {
                let second = [&second[..cut], &second[cut + 1..]].concat();
                replace(Step::Cover { first: first.clone(), second });
            }
            let more = (90..99).map(Item::new);
            replace(Step::Cover { first: first.iter().copied().chain(more).collect(), second: second.clone() });
        }
    }
    all
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn prop_what_is_proven_can_be_verified(parts in parts(), aim in aim()) {
        let problem = JointProblem::new(parts.statement(), aim).unwrap();
        if let Some(solution) = solved(&problem) {
            let proof = prove_joint(&problem, solution.value, &Budget::default()).unwrap();
            prop_assert_eq!(verify(&parts, aim, &solution, &proof), Ok(()));
            prop_assert_eq!(parse_joint_proof(&write_joint_proof(&proof)), Ok(proof));
        }
    }

    #[test]
    fn prop_broken_proofs_are_refused(parts in parts(), aim in aim()) {
        let problem = JointProblem::new(parts.statement(), aim).unwrap();
        let is_asked = |solution: &JointSolution| aim == JointAim::Total || solution.value > 0;
        let Some(solution) = solved(&problem).filter(is_asked) else { return Ok(()) };
        let proof = prove_joint(&problem, solution.value, &Budget::default()).unwrap();
        for broken in broken(&proof) {
            prop_assert!(verify(&parts, aim, &solution, &broken).is_err(), "{:?}", broken);
        }
    }

    #[test]
    fn prop_a_choice_that_is_not_best_has_no_proof(parts in parts(), aim in aim(), pick in any::<prop::sample::Index>()) {
        let problem = JointProblem::new(parts.statement(), aim).unwrap();
        let all = parts.all();
        let Some(solution) = solved(&problem) else { return Ok(()) };
        let (choice, values) = &all[pick.index(all.len())];
        let value = key(aim, values).0;
        prop_assume!(value > solution.value);
        prop_assert_eq!(prove_joint(&problem, value, &Budget::default()), Err(NoProof::NotBest));
        // The proof of the best value says nothing for a worse one: it leaves the best choice out.
        let proof = prove_joint(&problem, solution.value, &Budget::default()).unwrap();
        let worse = JointSolution { choice: choice.clone(), value, ..solution.clone() };
        prop_assert!(verify(&parts, aim, &worse, &proof).is_err());
        // Nor for a value that is not the choice's own.
        let false_claim = JointSolution { value: value - 1, ..worse };
        prop_assert!(matches!(verify(&parts, aim, &false_claim, &proof), Err(JointProofFault::Choice(_))));
    }
}

/// Eight slots, ten items of each kind, values that say nothing of the slot: half of the items of either kind are light, half
/// are heavy. Light ones of the first kind may meet only two heavy ones of the second, so that without two heavy ones that
/// meet there are seven pairs at most, whatever the slots; the same with two light ones.
#[test]
fn items_that_do_not_pair_are_covered() {
    let of_item = |item: Item| Some(if item.index() < 5 { 0 } else { 100 });
    let shape = Shape { slots: 8, items: 10 };
    let table = Table::from_fn(shape, |_, item| of_item(item)).unwrap();
    let pair = |first: u32, second: u32| Couple { first: Item::new(first), second: Item::new(second) };
    let barred: Vec<Couple> = (0..5).flat_map(|first| (7..10).map(move |second| pair(first, second))).collect();
    let offsets = [vec![0; 8]];
    let statement = JointStatement {
        first: &table,
        second: &table,
        barred: &barred,
        offsets: &offsets,
        scale: Scale::Sum,
        beside: None,
    };
    let problem = JointProblem::new(statement, JointAim::Spread).unwrap();
    let JointOutcome::Proven(solution) = solve_joint(&problem, &Budget::nodes(100_000)).unwrap() else {
        panic!("no more than a few windows are of interest")
    };
    assert_eq!(solution.value, 200, "two light ones and two heavy ones have to meet");
    let proof = prove_joint(&problem, solution.value, &Budget::nodes(1_000)).unwrap();
    assert_eq!(verify_joint(&statement, Measure::Spread, &solution.choice, solution.value, &proof), Ok(()));
    let OuterProof::Windows(segments) = &proof.outers[0] else { panic!("the only outer choice") };
    let mut steps = segments.iter().flat_map(|segment| &segment.steps);
    assert!(steps.any(|step| matches!(step, Step::Cover { first, second } if first.len() + second.len() < 8)));
    assert_eq!(parse_joint_proof(&write_joint_proof(&proof)).as_ref(), Ok(&proof));
    for broken in broken(&proof) {
        assert!(verify_joint(&statement, Measure::Spread, &solution.choice, solution.value, &broken).is_err());
    }
}

#[test]
fn a_budget_ends_a_proof() {
    let parts = super::bounds::hard();
    for aim in [JointAim::Spread, JointAim::SquaresAboutMean, JointAim::SquaresFrom { target: 90_000 }] {
        let problem = JointProblem::new(parts.statement(), aim).unwrap();
        let JointOutcome::Proven(solution) = solve_joint(&problem, &Budget::default()).unwrap() else {
            panic!("no budget")
        };
        let ended = prove_joint(&problem, solution.value, &Budget::nodes(1));
        assert!(matches!(ended, Err(NoProof::Stopped(_))), "{aim:?} {ended:?}");
        let proof = prove_joint(&problem, solution.value, &Budget::default()).unwrap();
        assert_eq!(verify(&parts, aim, &solution, &proof), Ok(()));
    }
}

#[test]
fn values_at_the_ends_are_no_panic() {
    let parts = super::bounds::hard();
    let aims = [
        JointAim::Spread,
        JointAim::WorstFrom { target: 0 },
        JointAim::SquaresFrom { target: 0 },
        JointAim::SquaresAboutMean,
    ];
    for aim in aims {
        let problem = JointProblem::new(parts.statement(), aim).unwrap();
        for value in [i128::MIN, -1] {
            assert_eq!(prove_joint(&problem, value, &Budget::nodes(9)), Err(NoProof::Aim), "{aim:?}");
        }
        assert!(prove_joint(&problem, i128::MAX, &Budget::nodes(999)).is_err());
    }
    let problem = JointProblem::new(parts.statement(), JointAim::Total).unwrap();
    assert_eq!(prove_joint(&problem, i128::MIN, &Budget::nodes(9)), Err(NoProof::Aim));
    assert_eq!(prove_joint(&problem, i128::MAX, &Budget::nodes(999)), Err(NoProof::NotBest));
}

#[test]
fn proofs_say_nothing_of_greatest_and_least_values() {
    let parts = super::bounds::hard();
    let problem = JointProblem::new(parts.statement(), JointAim::Spread).unwrap();
    let choice = solved(&problem).unwrap().choice;
    let statement = parts.statement();
    let nothing = JointProof { outers: Vec::new() };
    for measure in [Measure::Greatest, Measure::Least] {
        let value = evaluate_joint(measure, &statement, &choice).unwrap();
        let verdict = verify_joint(&statement, measure, &choice, value, &nothing);
        assert_eq!(verdict, Err(JointProofFault::Measure { measure }));
    }
    // Not even of 0, than which a greatest value may be less.
    let zero = Table::from_cells(Shape { slots: 1, items: 1 }, &[Some(0)]).unwrap();
    let either = Table::from_cells(Shape { slots: 1, items: 2 }, &[Some(0), Some(-5)]).unwrap();
    let offsets = [vec![0]];
    let statement = JointStatement {
        first: &either,
        second: &zero,
        barred: &[],
        offsets: &offsets,
        scale: Scale::Sum,
        beside: None,
    };
    let one = || Choice::new(vec![Item::new(0)]);
    let choice = JointChoice { outer: Outer::new(0), first: one(), second: one() };
    let verdict = verify_joint(&statement, Measure::Greatest, &choice, 0, &nothing);
    assert_eq!(verdict, Err(JointProofFault::Measure { measure: Measure::Greatest }));
}
