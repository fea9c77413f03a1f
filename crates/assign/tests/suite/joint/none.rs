//! That there is no choice, and choices in which an item has to be used: proofs against every choice there is.

use super::all::{Parts, aim, key, parts};
use super::proofs::broken;
use pairwright_assign::{
    Budget, Item, JointAim, JointChoice, JointOutcome, JointProblem, NoProof, prove_joint, prove_joint_impossible,
    solve_joint,
};
use pairwright_proof::{
    JointFault, JointProof, JointProofFault, OuterProof, Segment, Side, Step, check_joint_impossible,
    parse_joint_proof, verify_joint_using, write_joint_proof,
};
use proptest::prelude::*;

/// Parts of which more is barred, so that often nothing is left.
fn tight() -> impl Strategy<Value = Parts> {
    (parts(), any::<u64>()).prop_map(|(mut parts, seed)| {
        let (firsts, seconds) = (parts.first.shape().items, parts.second.shape().items);
        for (at, (first, second)) in (0..firsts).flat_map(|a| (0..seconds).map(move |b| (a, b))).enumerate() {
            if seed >> (at % 64) & 1 == 1 {
                let item = |at: usize| Item::new(u32::try_from(at).unwrap());
                parts.barred.push(pairwright_assign::Couple { first: item(first), second: item(second) });
            }
        }
        parts
    })
}

fn asked(parts: &Parts, aim: JointAim, used: Option<Item>) -> JointProblem<'_> {
    let problem = JointProblem::new(parts.statement(), aim).unwrap();
    match used {
        Some(item) => problem.bring_in(item).unwrap(),
        None => problem,
    }
}

fn some_item(parts: &Parts, of: u32) -> Item {
    Item::new(of % u32::try_from(parts.first.shape().items).unwrap())
}

fn uses(choice: &JointChoice, used: Option<Item>) -> bool {
    used.is_none_or(|item| choice.first.items().contains(&item))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn prop_there_is_a_proof_where_there_is_no_choice(
        parts in tight(), aim in aim(), used in prop::option::of(0..9_u32),
    ) {
        let used = used.map(|of| some_item(&parts, of));
        let problem = asked(&parts, aim, used);
        let all = parts.all();
        let proof = prove_joint_impossible(&problem, &Budget::default());
        if all.iter().any(|(choice, _)| uses(choice, used)) {
            prop_assert_eq!(proof, Err(NoProof::NotBest));
            return Ok(());
        }
        prop_assert!(matches!(solve_joint(&problem, &Budget::default()), Ok(JointOutcome::Impossible(_))));
        let proof = proof.unwrap();
        let statement = parts.statement();
        prop_assert_eq!(check_joint_impossible(&statement, used, &proof), Ok(()));
        for broken in broken(&proof) {
            prop_assert!(check_joint_impossible(&statement, used, &broken).is_err(), "{:?}", broken);
        }
        // Without the item there may be choices after all.
        if !all.is_empty() {
            prop_assert!(check_joint_impossible(&statement, None, &proof).is_err());
        }
        prop_assert_eq!(parse_joint_proof(&write_joint_proof(&proof)), Ok(proof));
    }

    #[test]
    fn prop_what_uses_an_item_can_be_proven(parts in parts(), aim in aim(), of in 0..9_u32) {
        let used = some_item(&parts, of);
        let problem = asked(&parts, aim, Some(used));
        let all = parts.all();
        let outcome = solve_joint(&problem, &Budget::default()).unwrap();
        let Some(solution) = outcome.solution() else {
            prop_assert!(!all.iter().any(|(choice, _)| uses(choice, Some(used))));
            return Ok(());
        };
        let (statement, measure) = (parts.statement(), aim.measure());
        let verify = |used, choice: &JointChoice, value, proof: &_| {
            verify_joint_using(&statement, used, measure, choice, value, proof)
        };
        let proof = prove_joint(&problem, solution.value, &Budget::default()).unwrap();
        prop_assert_eq!(verify(Some(used), &solution.choice, solution.value, &proof), Ok(()));
        // Of the choices that use it none is better, of all of them some may be.
        let best = all.iter().map(|(_, values)| key(aim, values).0).min();
        if best < Some(solution.value) {
            prop_assert!(verify(None, &solution.choice, solution.value, &proof).is_err());
        }
        let without = all.iter().find(|(choice, _)| !uses(choice, Some(used)));
        if let Some((choice, values)) = without {
            let fault = verify(Some(used), choice, key(aim, values).0, &proof);
            prop_assert_eq!(fault, Err(JointProofFault::Choice(JointFault::Unused { item: used })));
        }
        if aim == JointAim::Total || solution.value > 0 {
            for broken in broken(&proof) {
                let verdict = verify(Some(used), &solution.choice, solution.value, &broken);
                prop_assert!(verdict.is_err(), "{:?}", broken);
            }
        }
    }
}

#[test]
fn an_item_may_be_seated_only_if_it_has_to_be_used() {
    let parts = super::bounds::hard();
    let statement = parts.statement();
    let step = Step::Seat { side: Side::First, item: Item::new(77) };
    let steps = vec![step];
    let proof = JointProof {
        outers: vec![OuterProof::Windows(vec![Segment { from: 0, to: 0, steps }]); statement.offsets.len()],
    };
    for used in [None, Some(Item::new(0)), Some(Item::new(77))] {
        assert!(matches!(check_joint_impossible(&statement, used, &proof), Err(JointProofFault::Step { .. })));
    }
    let nothing = JointProof { outers: Vec::new() };
    assert!(matches!(check_joint_impossible(&statement, None, &nothing), Err(JointProofFault::Outers { .. })));
}

#[test]
fn a_budget_ends_a_proof_that_there_is_none() {
    let parts = super::bounds::hard();
    let problem = JointProblem::new(parts.statement(), JointAim::Spread).unwrap();
    assert!(matches!(prove_joint_impossible(&problem, &Budget::nodes(0)), Err(NoProof::Stopped(_))));
    assert_eq!(prove_joint_impossible(&problem, &Budget::default()), Err(NoProof::NotBest));
}
