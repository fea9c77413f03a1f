//! Several items a slot, against enumeration.

use crate::budgets::End;
use pairwright_assign::several::{
    SeveralError, SeveralOutcome, SeveralProblem, SeveralShortage, Tie, Unproven, solve_several, solve_several_within,
};
use pairwright_assign::{Bundles, Item, Measure, Pile, Roles, Sense, Shape, Slot, Table, Worth};
use pairwright_proof::{check_bundles, check_several_impossible, check_several_proof};
use proptest::prelude::*;

#[derive(Clone, Debug)]
pub(crate) struct Case {
    pub(crate) pile: Pile,
    pub(crate) measure: Measure,
    pub(crate) sense: Sense,
    pub(crate) base: Vec<i64>,
    pub(crate) table: Table,
    /// Values by a function instead: range, and one in how many is forbidden.
    pub(crate) odd: Option<(u64, u64)>,
}

/// A number made of a slot and items, the same every time.
fn mixed(slot: Slot, items: &[Item]) -> u64 {
    let start = 0x9E37_79B9_7F4A_7C15 ^ u64::from(slot.number());
    items.iter().fold(start, |mixed, item| {
        let mixed = (mixed ^ u64::from(item.number())).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed ^ (mixed >> 29)
    })
}

pub(crate) fn odd(slot: Slot, items: &[Item], (range, rarity): (u64, u64)) -> Option<i64> {
    let mixed = mixed(slot, items);
    (!mixed.is_multiple_of(rarity)).then(|| i64::try_from(mixed / 7 % range).unwrap() - 3)
}

/// Every arrangement, in order, with its values.
pub(crate) fn arrangements(pile: Pile, worth: &Worth<'_>) -> Vec<(Vec<Vec<Item>>, Vec<i128>)> {
    let mut all = Vec::new();
    extend(pile, worth, &mut vec![Vec::new()], &mut Vec::new(), &mut all);
    all
}

fn extend(
    pile: Pile,
    worth: &Worth<'_>,
    chosen: &mut Vec<Vec<Item>>,
    values: &mut Vec<i128>,
    all: &mut Vec<(Vec<Vec<Item>>, Vec<i128>)>,
) {
    if values.len() == pile.slots {
        all.push((chosen[..pile.slots].to_vec(), values.clone()));
        return;
    }
    let slot = Slot::new(u32::try_from(values.len()).unwrap());
    let bundle = chosen.last().unwrap().clone();
    if bundle.len() == pile.each {
        if let Some(value) = worth.value(slot, &bundle) {
            values.push(value.into());
            chosen.push(Vec::new());
            extend(pile, worth, chosen, values, all);
            chosen.pop();
            values.pop();
        }
        return;
    }
    for item in (0..u32::try_from(pile.items).unwrap()).map(Item::new) {
        let after = pile.roles == Roles::Told || bundle.last().is_none_or(|&last| item > last);
        if after && !chosen.iter().flatten().any(|&used| used == item) {
            chosen.last_mut().unwrap().push(item);
            extend(pile, worth, chosen, values, all);
            chosen.last_mut().unwrap().pop();
        }
    }
}

pub(crate) fn measured(measure: Measure, v: &[i128]) -> i128 {
    let (least, most) = (v.iter().min().copied().unwrap_or(0), v.iter().max().copied().unwrap_or(0));
    match measure {
        Measure::Spread => most - least,
        Measure::Total => v.iter().sum(),
        Measure::Greatest => most,
        Measure::Least => least,
        Measure::WorstFrom { target } => v.iter().map(|v| (v - i128::from(target)).abs()).max().unwrap_or(0),
        Measure::SquaresFrom { target } => v.iter().map(|v| (v - i128::from(target)).pow(2)).sum(),
        Measure::SquaresAboutMean => {
            v.iter().map(|one| v.iter().map(|other| (one - other).pow(2)).sum::<i128>()).sum::<i128>() / 2
        }
    }
}

fn like_enumeration(case: &Case, effort: Option<u64>, end: Option<End>) -> Result<(), TestCaseError> {
    let function = |slot: Slot, items: &[Item]| odd(slot, items, case.odd.unwrap());
    let worth = match case.odd {
        Some(_) => Worth::Function(&function),
        None => Worth::Sum { base: &case.base, table: &case.table },
    };
    let problem = SeveralProblem::new(case.pile, &worth, case.measure, case.sense).unwrap();
    let problem = problem.with_effort(effort.unwrap_or(SeveralProblem::USUAL_EFFORT));
    let sign = if case.sense == Sense::Least { 1 } else { -1 };
    let all = arrangements(case.pile, &worth);
    // The first of the best: `min_by_key` gives the first of equals.
    let best = all.iter().min_by_key(|(_, values)| sign * measured(case.measure, values));
    let best = best.map(|(bundles, values)| (Bundles(bundles.clone()), measured(case.measure, values)));
    let is_limited = effort.is_some() || end.is_some();
    let outcome = match end {
        Some(end) => end.within(|budget| solve_several_within(&problem, budget)),
        None => solve_several(&problem),
    };
    match outcome {
        SeveralOutcome::Proven { arrangement: found, tie, proof } => {
            let asked = (case.measure, case.sense);
            let checked = check_several_proof(case.pile, &worth, asked, &found.bundles, found.value, &proof);
            prop_assert_eq!(checked, Ok(()));
            prop_assert_eq!(Some(found.value), best.as_ref().map(|(_, value)| *value));
            prop_assert!(is_limited || tie == Tie::First);
            prop_assert!(tie == Tie::Open || Some((found.bundles, found.value)) == best);
        }
        SeveralOutcome::Searched { arrangement, why } => {
            prop_assert!(is_limited && matches!(why, Unproven::Unfinished(_)), "{:?}", why);
            prop_assert_eq!(arrangement.map(|found| (found.bundles, found.value)), best);
        }
        SeveralOutcome::Impossible { shortage, proof } => {
            prop_assert_eq!(best, None);
            prop_assert_eq!(check_several_impossible(case.pile, &worth, &proof), Ok(()));
            let needed = case.pile.slots * case.pile.each;
            prop_assert_eq!(matches!(shortage, SeveralShortage::TooFew { .. }), needed > case.pile.items);
        }
        SeveralOutcome::BestFound { arrangement, bound, .. } => {
            prop_assert!(is_limited);
            let checked = check_bundles(case.pile, &worth, case.measure, &arrangement.bundles, arrangement.value);
            prop_assert_eq!(checked, Ok(()));
            prop_assert!(sign * bound <= sign * best.unwrap().1);
        }
        SeveralOutcome::Undecided { bound, .. } => {
            prop_assert!(is_limited);
            prop_assert!(best.is_none_or(|(_, value)| sign * bound <= sign * value));
        }
    }
    Ok(())
}

pub(crate) fn case() -> impl Strategy<Value = Case> {
    let goal = prop_oneof![
        2 => Just((Measure::Spread, Sense::Least)),
        2 => Just((Measure::SquaresAboutMean, Sense::Least)),
        1 => Just((Measure::Total, Sense::Least)),
        1 => Just((Measure::Total, Sense::Most)),
        1 => Just((Measure::Greatest, Sense::Least)),
        1 => Just((Measure::Least, Sense::Most)),
        1 => (-9_i64..19).prop_map(|target| (Measure::WorstFrom { target }, Sense::Least)),
        1 => (-9_i64..19).prop_map(|target| (Measure::SquaresFrom { target }, Sense::Least)),
    ];
    let roles = prop_oneof![2 => Just(Roles::Alike), 1 => Just(Roles::Told)];
    let range = prop_oneof![Just(2_i64), Just(9), Just(300)];
    let sizes = prop_oneof![
        8 => (0..=3_usize, 0..=7_usize, 0..=2_usize),
        1 => (1..=2_usize, 5..=7_usize, Just(3_usize)),
    ];
    (sizes, roles, goal, range).prop_flat_map(|((slots, items, each), roles, (measure, sense), range)| {
        let shape = Shape { slots, items };
        let odd = prop::option::of((1..=u64::try_from(range).unwrap() + 1, 2..=9_u64));
        let base = prop::collection::vec(-range..=range, slots);
        (base, crate::brute::table(shape, range, 9), odd).prop_map(move |(base, table, odd)| Case {
            pile: Pile { slots, items, each, roles },
            measure,
            sense,
            base,
            table,
            odd,
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4_000))]

    #[test]
    fn prop_bundles_like_enumeration(case in case()) {
        like_enumeration(&case, None, None)?;
    }

    #[test]
    fn prop_bundles_cut_short(case in case(), effort in 0_u64..300) {
        like_enumeration(&case, Some(effort), None)?;
    }

    #[test]
    fn prop_bundles_within_a_budget(case in case(), end in crate::budgets::end()) {
        like_enumeration(&case, None, Some(end))?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    /// The value by itself is the same, and squares under a limit on the spread are the least, of equals the first.
    #[test]
    fn prop_the_value_alone_and_squares_within_a_spread(case in case(), within in 0_i64..20) {
        let function = |slot: Slot, items: &[Item]| odd(slot, items, case.odd.unwrap());
        let worth = match case.odd {
            Some(_) => Worth::Function(&function),
            None => Worth::Sum { base: &case.base, table: &case.table },
        };
        let sign = if case.sense == Sense::Least { 1 } else { -1 };
        let mut all = arrangements(case.pile, &worth);
        let value = |(_, values): &(Vec<Vec<Item>>, Vec<i128>)| measured(case.measure, values);
        let best = all.iter().map(|one| sign * value(one)).min();
        let problem = || SeveralProblem::new(case.pile, &worth, case.measure, case.sense).unwrap();
        let SeveralOutcome::Searched { arrangement, why: Unproven::NotWanted } =
            solve_several(&problem().for_value_alone())
        else {
            panic!("only the value is wanted");
        };
        prop_assert_eq!(arrangement.as_ref().map(|found| sign * found.value), best);
        if let Some(found) = arrangement {
            prop_assert_eq!(check_bundles(case.pile, &worth, case.measure, &found.bundles, found.value), Ok(()));
        }
        if case.measure == Measure::SquaresAboutMean {
            all.retain(|(_, values)| measured(Measure::Spread, values) <= i128::from(within));
            let first = all.iter().min_by_key(|one| value(one));
            let outcome = solve_several(&problem().with_spread_at_most(within));
            let SeveralOutcome::Searched { arrangement, why: Unproven::SpreadToo } = outcome else {
                panic!("no proof speaks of both: {outcome:?}");
            };
            let found = arrangement.map(|found| (found.bundles.0, found.value));
            prop_assert_eq!(found, first.map(|one| (one.0.clone(), value(one))));
        }
    }
}

#[test]
fn what_does_not_fit_is_refused() {
    let table = Table::from_fn(Shape { slots: 2, items: 5 }, |_, _| Some(Table::LIMIT)).unwrap();
    let pile = Pile { slots: 2, items: 5, each: 2, roles: Roles::Alike };
    let refused =
        |pile: Pile, worth: &Worth<'_>, measure, sense| SeveralProblem::new(pile, worth, measure, sense).unwrap_err();
    let worth = Worth::Sum { base: &[0, 0], table: &table };
    let (slot, value) = (Slot::new(0), 2 * Table::LIMIT);
    assert_eq!(refused(pile, &worth, Measure::Spread, Sense::Least), SeveralError::Magnitude { slot, value });
    let sense = Sense::Most;
    let measure = Measure::Spread;
    assert_eq!(refused(pile, &worth, measure, sense), SeveralError::Sense { measure, sense });
    let target = i64::MIN;
    let measure = Measure::WorstFrom { target };
    assert_eq!(refused(pile, &worth, measure, Sense::Least), SeveralError::Target { target });
    let six = Pile { items: 6, ..pile };
    let shape = SeveralError::Shape { expected: 6, found: 5 };
    assert_eq!(refused(six, &worth, Measure::Total, Sense::Least), shape);
    let function = |_: Slot, _: &[Item]| Some(i64::MAX);
    let worth = Worth::Function(&function);
    for pile in [Pile { items: 129, ..pile }, Pile { items: 100, each: 9, ..pile }, Pile { slots: usize::MAX, ..pile }]
    {
        assert_eq!(refused(pile, &worth, Measure::Total, Sense::Least), SeveralError::TooLarge { pile });
    }
    let value = i64::MAX;
    assert_eq!(refused(pile, &worth, Measure::Total, Sense::Least), SeveralError::Magnitude { slot, value });
}
