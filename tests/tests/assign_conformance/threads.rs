//! The same bytes on one thread and on two, proofs included.

use crate::brute::{exact_goal, shape, table};
use pairwright_assign::{
    Budget, Criterion, Evidence, Item, JointAim, JointOutcome, JointProblem, JointStatement, Measure, Problem, Scale,
    Sense, Shape, Table, prove_joint, solve_joint, solve_with_proof,
};
use pairwright_proof::write_proof;
use proptest::prelude::*;

/// Everything that comes out of a problem, as text.
fn told(tables: &[Table], chain: &[(Measure, Sense)]) -> String {
    let pairs = tables.iter().zip(chain);
    let criteria = pairs.map(|(table, &(measure, sense))| Criterion { table, measure, sense, slack: 0 });
    let problem = Problem::new(criteria.collect(), vec![]).unwrap();
    let (outcome, evidence) = solve_with_proof(&problem);
    let proof = match &evidence {
        Evidence::Proof(proof) => write_proof(proof),
        other => format!("{other:?}"),
    };
    format!("{outcome:?}\n{proof}")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn prop_two_threads_tell_the_same(
        tables in shape(2..=8, 6).prop_flat_map(|shape| prop::collection::vec(table(shape, 200, 12), 2)),
        chain in prop::collection::vec(exact_goal(), 1..=2),
    ) {
        let alone = told(&tables, &chain);
        let ask = || told(&tables, &chain);
        let both = std::thread::scope(|scope| {
            let threads = [scope.spawn(ask), scope.spawn(ask)];
            threads.map(|thread| thread.join().expect("a solve does not panic"))
        });
        prop_assert_eq!([&alone, &alone], [&both[0], &both[1]]);
    }
}

/// A pile large enough for the shorter ways, and a joint choice with its proof.
fn told_of_larger_ones() -> String {
    let mix = |one: u32, other: u32| i64::from((one * 7919 + other * 104_729 + 17) % 9973);
    let pile = Table::from_fn(Shape { slots: 6, items: 400 }, |slot, item| Some(mix(slot.number(), item.number())));
    let pile = pile.unwrap();
    let goals = [(Measure::Spread, Sense::Least), (Measure::SquaresAboutMean, Sense::Least)];
    let plain = told(&[pile.clone(), pile], &goals);
    let table = |seed| Table::from_fn(Shape { slots: 6, items: 7 }, |_, item: Item| Some(mix(seed, item.number())));
    let (first, second) = (table(3).unwrap(), table(5).unwrap());
    let offsets = [(0..6).map(|slot| mix(1, slot)).collect(), (0..6).map(|slot| mix(2, slot)).collect()];
    let statement = JointStatement {
        first: &first,
        second: &second,
        barred: &[],
        offsets: &offsets,
        scale: Scale::Sum,
        beside: None,
    };
    let problem = JointProblem::new(statement, JointAim::Spread).unwrap();
    let JointOutcome::Proven(best) = solve_joint(&problem, &Budget::default()).unwrap() else { panic!("no budget") };
    let proof = prove_joint(&problem, best.value, &Budget::default()).unwrap();
    format!("{plain}\n{best:?}\n{proof:?}")
}

#[test]
fn two_threads_tell_the_same_of_piles_and_joint_choices() {
    let alone = told_of_larger_ones();
    assert!(alone.starts_with("Proven"), "{alone}");
    let both = std::thread::scope(|scope| {
        let threads = [scope.spawn(told_of_larger_ones), scope.spawn(told_of_larger_ones)];
        threads.map(|thread| thread.join().expect("a solve does not panic"))
    });
    assert_eq!([&alone, &alone], [&both[0], &both[1]]);
}
