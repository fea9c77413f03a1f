//! Every proven spread and worst distance has a proof that the checker accepts, and none that is broken.

use super::all::{Parts, key, parts};
use pairwright_assign::{
    Budget, Item, JointAim, JointOutcome, JointProblem, JointSolution, NoProof, Outer, Side, Slot, prove_joint,
    solve_joint,
};
use pairwright_proof::{JointProof, JointProofFault, OuterProof, Segment, Step, verify_joint};
use proptest::prelude::*;

fn aim() -> impl Strategy<Value = JointAim> {
    prop_oneof![2 => Just(JointAim::Spread), 1 => (-20_i64..40).prop_map(|target| JointAim::WorstFrom { target })]
}

fn solved(problem: &JointProblem<'_>) -> Option<JointSolution> {
    solve_joint(problem, &Budget::default()).unwrap().solution().cloned()
}

fn verify(parts: &Parts, aim: JointAim, solution: &JointSolution, proof: &JointProof) -> Result<(), JointProofFault> {
    verify_joint(&parts.statement(), aim.measure(), &solution.choice, solution.value, proof)
}

/// Every way to break a proof by taking out, or exchanging, one thing.
fn broken(proof: &JointProof) -> Vec<JointProof> {
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
        }
    }

    #[test]
    fn prop_broken_proofs_are_refused(parts in parts(), aim in aim()) {
        let problem = JointProblem::new(parts.statement(), aim).unwrap();
        let Some(solution) = solved(&problem).filter(|solution| solution.value > 0) else { return Ok(()) };
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
        // The proof of the best value says nothing for a worse one: its windows are too narrow.
        let proof = prove_joint(&problem, solution.value, &Budget::default()).unwrap();
        let worse = JointSolution { choice: choice.clone(), value, ..solution.clone() };
        prop_assert!(verify(&parts, aim, &worse, &proof).is_err());
        // Nor for a value that is not the choice's own.
        let false_claim = JointSolution { value: value - 1, ..worse };
        prop_assert!(matches!(verify(&parts, aim, &false_claim, &proof), Err(JointProofFault::Choice(_))));
    }
}

#[test]
fn squares_have_no_proof_yet_and_a_budget_ends_one() {
    let parts = super::bounds::hard();
    let problem = JointProblem::new(parts.statement(), JointAim::SquaresAboutMean).unwrap();
    assert_eq!(prove_joint(&problem, 1, &Budget::default()), Err(NoProof::Aim));
    let problem = JointProblem::new(parts.statement(), JointAim::Spread).unwrap();
    let JointOutcome::Proven(solution) = solve_joint(&problem, &Budget::default()).unwrap() else {
        panic!("no budget")
    };
    assert!(matches!(prove_joint(&problem, solution.value, &Budget::nodes(1)), Err(NoProof::Stopped(_))));
    let proof = prove_joint(&problem, solution.value, &Budget::default()).unwrap();
    assert_eq!(verify(&parts, JointAim::Spread, &solution, &proof), Ok(()));
}
