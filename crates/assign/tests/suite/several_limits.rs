//! Several items a slot under limits over all slots together, against enumeration.

use crate::several::{Case, arrangements, case, measured, odd};
use pairwright_assign::several::{SeveralError, SeveralOutcome, SeveralProblem, Tie, solve_several};
use pairwright_assign::{Bundles, Item, Measure, Sense, SeveralLimit, SeveralRule, Slot, Worth};
use pairwright_proof::{
    SeveralFault, SeveralProof, check_bundles_within, check_several_impossible_within, check_several_proof_within,
};
use proptest::prelude::*;

/// A limit on the values themselves, or on others.
#[derive(Clone, Debug)]
struct Beside {
    own: bool,
    /// The measure with its sense; neighbours where there is none.
    measure: Option<(Measure, Sense)>,
    /// How strict it is, between the best and the worst there is.
    share: f64,
}

fn beside() -> impl Strategy<Value = Beside> {
    let measure = prop_oneof![
        3 => Just(None),
        3 => Just(Some((Measure::Spread, Sense::Least))),
        2 => Just(Some((Measure::Total, Sense::Least))),
        1 => Just(Some((Measure::Total, Sense::Most))),
        1 => Just(Some((Measure::Greatest, Sense::Least))),
        1 => Just(Some((Measure::Least, Sense::Most))),
        1 => (-3_i64..40).prop_map(|target| Some((Measure::WorstFrom { target }, Sense::Least))),
        1 => (-3_i64..40).prop_map(|target| Some((Measure::SquaresFrom { target }, Sense::Least))),
        2 => Just(Some((Measure::SquaresAboutMean, Sense::Least))),
    ];
    (any::<bool>(), measure, -0.1_f64..1.0).prop_map(|(own, measure, share)| Beside { own, measure, share })
}

/// Other values of the same bundles; one in nine has none.
fn other(slot: Slot, items: &[Item]) -> Option<i64> {
    let turned: Vec<Item> = items.iter().map(|item| Item::new(item.number() * 5 + 1)).collect();
    odd(Slot::new(slot.number() + 7), &turned, (40, 9))
}

fn valued(worth: &Worth<'_>, bundles: &[Vec<Item>]) -> Option<Vec<i128>> {
    (0..).map(Slot::new).zip(bundles).map(|(slot, items)| worth.value(slot, items).map(i128::from)).collect()
}

fn apart(pairs: &[(Slot, Slot)], values: &[i128]) -> i128 {
    pairs.iter().map(|(one, two)| (values[one.index()] - values[two.index()]).abs()).max().unwrap_or(0)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_precision_loss, reason = "small numbers")]
fn between(worths: &[i128], share: f64) -> i128 {
    let (low, high) = (worths.iter().min().copied().unwrap_or(0), worths.iter().max().copied().unwrap_or(0));
    low + ((high - low) as f64 * share).round() as i128
}

fn like_enumeration(case: &Case, wanted: &[Beside]) -> Result<(), TestCaseError> {
    let function = |slot: Slot, items: &[Item]| odd(slot, items, case.odd.unwrap());
    let worth = match case.odd {
        Some(_) => Worth::Function(&function),
        None => Worth::Sum { base: &case.base, table: &case.table },
    };
    let slots = u32::try_from(case.pile.slots).unwrap();
    let pairs: Vec<(Slot, Slot)> = (1..slots).map(|at| (Slot::new(at - 1), Slot::new(at))).collect();
    let all = arrangements(case.pile, &worth);
    let mut limits: Vec<SeveralLimit<'_>> = Vec::new();
    for Beside { own, measure, share } in wanted {
        let own_worth = if *own { None } else { Some(Worth::Function(&other)) };
        let about = own_worth.unwrap_or(worth);
        let there: Vec<Vec<i128>> = all.iter().filter_map(|(bundles, _)| valued(&about, bundles)).collect();
        let rule = match *measure {
            None => {
                let worths: Vec<i128> = there.iter().map(|values| apart(&pairs, values)).collect();
                SeveralRule::Apart { pairs: &pairs, ticks: i64::try_from(between(&worths, *share)).unwrap() }
            }
            Some((measure, sense)) => {
                let worths: Vec<i128> = there.iter().map(|values| measured(measure, values)).collect();
                let share = if sense == Sense::Least { *share } else { 1.0 - share };
                SeveralRule::NoWorse { measure, sense, than: between(&worths, share) }
            }
        };
        limits.push(SeveralLimit { worth: own_worth, rule });
    }
    let keeps = |bundles: &[Vec<Item>]| {
        limits.iter().all(|limit| {
            let Some(values) = valued(&limit.worth.unwrap_or(worth), bundles) else { return false };
            match limit.rule {
                SeveralRule::Apart { pairs, ticks } => apart(pairs, &values) <= ticks.into(),
                SeveralRule::NoWorse { measure, sense: Sense::Least, than } => measured(measure, &values) <= than,
                SeveralRule::NoWorse { measure, sense: Sense::Most, than } => measured(measure, &values) >= than,
            }
        })
    };
    let kept: Vec<&(Vec<Vec<Item>>, Vec<i128>)> = all.iter().filter(|(bundles, _)| keeps(bundles)).collect();
    let sign = if case.sense == Sense::Least { 1 } else { -1 };
    let best = kept.iter().min_by_key(|(_, values)| sign * measured(case.measure, values));
    let problem = SeveralProblem::new(case.pile, &worth, case.measure, case.sense).unwrap();
    let problem = problem.with_limits(&limits).unwrap();
    let asked = (case.measure, case.sense);
    match solve_several(&problem) {
        SeveralOutcome::Proven { arrangement: found, tie, proof } => {
            prop_assert_eq!(tie, Tie::First);
            let (bundles, values) = best.expect("there is one");
            prop_assert_eq!(found.value, measured(case.measure, values));
            prop_assert_eq!(&found.bundles.0, bundles);
            let check = |bundles: &Bundles, value, proof: &SeveralProof| {
                check_several_proof_within(case.pile, &worth, &limits, asked, bundles, value, proof)
            };
            prop_assert_eq!(check(&found.bundles, found.value, &proof), Ok(()));
            // What breaks a limit is refused, and so is the proof for anything worse.
            for (bundles, values) in &all {
                let (bundles, value) = (Bundles(bundles.clone()), measured(case.measure, values));
                let holds = check_bundles_within(case.pile, &worth, &limits, case.measure, &bundles, value);
                prop_assert_eq!(holds.is_ok(), keeps(&bundles.0));
                let is_limit = matches!(holds, Err(SeveralFault::Limit { .. }));
                prop_assert!(holds.is_ok() || is_limit);
                if value != found.value || !keeps(&bundles.0) {
                    prop_assert!(check(&bundles, value, &proof).is_err());
                }
            }
            for cut in 0..proof.steps.len().min(12) {
                let short = SeveralProof { steps: proof.steps[..cut].to_vec() };
                prop_assert!(check(&found.bundles, found.value, &short).is_err());
            }
        }
        SeveralOutcome::Impossible { proof, .. } => {
            prop_assert!(best.is_none());
            prop_assert_eq!(check_several_impossible_within(case.pile, &worth, &limits, &proof), Ok(()));
        }
        other => prop_assert!(false, "{:?}", other),
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_500))]

    #[test]
    fn prop_the_best_within_limits_is_found_and_proven(
        case in case(),
        wanted in proptest::collection::vec(beside(), 1..4),
    ) {
        like_enumeration(&case, &wanted)?;
    }
}

#[test]
fn limits_that_cannot_be_kept_are_refused() {
    let worth = |_: Slot, _: &[Item]| Some(1);
    let worth = Worth::Function(&worth);
    let pile = pairwright_assign::Pile { slots: 2, items: 5, each: 2, roles: pairwright_assign::Roles::Alike };
    let problem = || SeveralProblem::new(pile, &worth, Measure::Spread, Sense::Least).unwrap();
    let far = [(Slot::new(0), Slot::new(2))];
    let spread = |sense, than| SeveralRule::NoWorse { measure: Measure::Spread, sense, than };
    for rule in [
        spread(Sense::Most, 3),
        spread(Sense::Least, i128::MAX),
        SeveralRule::NoWorse { measure: Measure::Least, sense: Sense::Least, than: 1 },
        SeveralRule::Apart { pairs: &far, ticks: 3 },
    ] {
        let refused = problem().with_limits(&[SeveralLimit { worth: None, rule }]).map(|_| ());
        assert_eq!(refused, Err(SeveralError::Limit { limit: 0 }), "{rule:?}");
    }
    let large = |_: Slot, _: &[Item]| Some(i64::MAX);
    let limit = SeveralLimit { worth: Some(Worth::Function(&large)), rule: spread(Sense::Least, 3) };
    let refused = problem().with_limits(&[limit]).map(|_| ());
    assert_eq!(refused, Err(SeveralError::Magnitude { slot: Slot::new(0), value: i64::MAX }));
}
