//! The answer against enumeration, from the solver's own start and from the worst one there is.

use super::all::{Curve, Parts, aim, key, parts};
use pairwright_assign::{
    Budget, Couple, Item, JointAim, JointError, JointFloors, JointOutcome, JointProblem, JointSolution, Shape, Table,
    Ties, solve_joint,
};
use pairwright_proof::check_joint;
use proptest::prelude::*;

fn problem(parts: &Parts, aim: JointAim) -> JointProblem<'_> {
    JointProblem::new(parts.statement(), aim).unwrap().with_tie_effort(1 << 20)
}

fn proven(problem: &JointProblem<'_>) -> Option<JointSolution> {
    match solve_joint(problem, &Budget::default()).unwrap() {
        JointOutcome::Proven(solution) => Some(solution),
        JointOutcome::Impossible(_) => None,
        other => panic!("no budget can end: {other:?}"),
    }
}

/// The solution is the best of all, down to the last tie where it says so.
fn assert_best(parts: &Parts, aim: JointAim, solution: Option<&JointSolution>) {
    let all = parts.all();
    let best = all.iter().map(|(choice, values)| (key(aim, values), choice)).min();
    assert_eq!(best.is_some(), solution.is_some(), "{parts:?}");
    let Some(((key, choice), solution)) = best.zip(solution) else {
        return;
    };
    assert_eq!((solution.value, solution.squares), key, "{aim:?} {parts:?}");
    check_joint(&parts.statement(), aim.measure(), &solution.choice, solution.value).unwrap();
    match solution.ties {
        Ties::Settled => assert_eq!(&solution.choice, choice, "{aim:?} {parts:?}"),
        Ties::Squares => assert!(all.len() > 64),
        Ties::Open => panic!("no budget can end"),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn prop_nothing_is_better(parts in parts(), aim in aim()) {
        let problem = problem(&parts, aim);
        assert_best(&parts, aim, proven(&problem).as_ref());
    }

    /// An item that has to be used is, at the least price.
    #[test]
    fn prop_an_item_is_brought_in(parts in parts(), aim in aim()) {
        let item = Item::new(u32::try_from(parts.first.shape().items - 1).unwrap());
        let all = parts.all().into_iter().filter(|(choice, _)| choice.first.slot(item).is_some());
        let best = all.map(|(_, values)| key(aim, &values)).min();
        let found = proven(&problem(&parts, aim).bring_in(item).unwrap());
        prop_assert_eq!(best, found.as_ref().map(|found| (found.value, found.squares)), "{:?}", parts);
        prop_assert!(found.is_none_or(|found| found.choice.first.slot(item).is_some()));
    }

    /// Floors of the whole question change no answer to a question that allows less.
    #[test]
    fn prop_floors_change_nothing(parts in parts(), aim in aim()) {
        let floors = JointFloors::new(&problem(&parts, aim));
        if !matches!(parts.curve, Curve::Free | Curve::Far) {
            prop_assert_eq!(floors, Err(JointError::Floors));
            return Ok(());
        }
        let floors = floors.unwrap();
        let item = Item::new(u32::try_from(parts.first.shape().items - 1).unwrap());
        let one = Parts { offsets: parts.offsets[..1].to_vec(), ..parts.clone() };
        for (narrow, floors) in [(&parts, floors.clone()), (&one, floors.of_outers([0].into_iter()))] {
            let plain = problem(narrow, aim);
            for asked in [plain.clone(), plain.bring_in(item).unwrap()] {
                prop_assert_eq!(proven(&asked), proven(&asked.clone().with_floors(floors.clone()).unwrap()));
            }
        }
        let other = if aim == JointAim::Spread { JointAim::Total } else { JointAim::Spread };
        prop_assert_eq!(problem(&parts, other).with_floors(floors).unwrap_err(), JointError::Floors);
    }

    #[test]
    fn prop_a_bad_start_changes_nothing(parts in parts(), aim in aim()) {
        let all = parts.all();
        if let Some((choice, _)) = all.iter().max_by_key(|(_, values)| key(aim, values)) {
            let problem = problem(&parts, aim).start_from(choice.clone()).unwrap();
            assert_best(&parts, aim, proven(&problem).as_ref());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn prop_five_slots_and_every_item_used(
        a in prop::collection::vec(-30_i64..30, 5),
        b in prop::collection::vec(-30_i64..30, 5),
        offsets in prop::collection::vec(prop::collection::vec(-30_i64..30, 5), 1..=2),
        barred in prop::collection::vec((0_u32..5, 0_u32..5), 0..8),
        curve in prop_oneof![Just(Curve::Sum), Just(Curve::Steps)],
        aim in aim(),
    ) {
        let table = |of: Vec<i64>| Table::from_fn(Shape { slots: 5, items: 5 }, |_, item| Some(of[item.index()])).unwrap();
        let couple = |(first, second)| Couple { first: Item::new(first), second: Item::new(second) };
        let barred = barred.into_iter().map(couple).collect();
        let parts = Parts { first: table(a), second: table(b), barred, offsets, curve, apart: false };
        let problem = problem(&parts, aim);
        assert_best(&parts, aim, proven(&problem).as_ref());
    }
}
