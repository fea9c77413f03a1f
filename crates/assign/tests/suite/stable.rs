//! How far single values can move, against every choice at every value.

use crate::brute::{choices, shape, table, value};
use pairwright_assign::{
    Choice, Criterion, Item, Measure, Problem, Sense, Slot, StretchError, Table, Window, stretches,
};
use proptest::prelude::*;

fn goal() -> impl Strategy<Value = (Measure, Sense)> {
    prop_oneof![
        1 => Just((Measure::Total, Sense::Least)),
        1 => Just((Measure::Total, Sense::Most)),
        1 => Just((Measure::Greatest, Sense::Least)),
        1 => Just((Measure::Least, Sense::Most)),
        2 => (-9_i64..9).prop_map(|target| (Measure::WorstFrom { target }, Sense::Least)),
        4 => Just((Measure::Spread, Sense::Least)),
        3 => Just((Measure::SquaresAboutMean, Sense::Least)),
        1 => (-9_i64..9).prop_map(|target| (Measure::SquaresFrom { target }, Sense::Least)),
        1 => (-9_i64..9).prop_map(|target| (Measure::SquaresFrom { target }, Sense::Most)),
        1 => Just((Measure::Greatest, Sense::Most)),
        1 => Just((Measure::Least, Sense::Least)),
        1 => (-9_i64..9).prop_map(|target| (Measure::WorstFrom { target }, Sense::Most)),
    ]
}

/// Whether a choice is among the best when one value is moved there.
fn is_best(problem: &Problem<'_>, all: &[Vec<Item>], choice: &[Item], (slot, item): (Slot, Item), to: i64) -> bool {
    let criterion = problem.criteria()[0];
    let cell = |at, other| {
        let moved = (at, other) == (slot, item);
        criterion.table.get(at, other).map(|value| if moved { to } else { value })
    };
    let moved = Table::from_fn(criterion.table.shape(), cell).unwrap();
    let criterion = Criterion { table: &moved, ..criterion };
    let sign = if criterion.sense == Sense::Least { 1 } else { -1 };
    let score = |choice: &[Item]| sign * value(&criterion, choice);
    all.iter().all(|other| score(choice) <= score(other))
}

/// Farther than any two values and targets are apart.
const FAR: i64 = 42;

fn ends_where_it_says(
    end: Option<i128>,
    from: i64,
    step: i64,
    is_best: impl Fn(i64) -> bool,
) -> Result<(), TestCaseError> {
    let lost = (0..=FAR).map(|by| from + step * by).find(|&to| !is_best(to));
    match lost {
        Some(lost) => prop_assert_eq!(end, Some(i128::from(lost - step))),
        None => prop_assert!(end.is_none_or(|end| (end - i128::from(from)) * i128::from(step) >= i128::from(FAR))),
    }
    let last = end.map_or(step * Table::LIMIT, |end| i64::try_from(end).unwrap());
    prop_assert!(is_best(last), "not at {last}");
    prop_assert!(end.is_none() || !is_best(last + step), "still behind {last}");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(800))]

    #[test]
    fn prop_stretches_end_where_another_choice_is_better(
        table in shape(1..=4, 2).prop_flat_map(|shape| {
            prop_oneof![Just(2_i64), Just(10)].prop_flat_map(move |range| table(shape, range, 7))
        }),
        (measure, sense) in goal(),
        which in any::<prop::sample::Index>(),
        (brought_in, forbidden) in (prop::option::weighted(0.3, 0..6_u32), prop::option::weighted(0.3, (0..4_u32, 0..6_u32))),
        weights in prop::collection::vec((prop::collection::vec(0_i64..6, 24), 0_i64..6), 0..=2),
    ) {
        let weigh = |of: &[i64]| Table::from_fn(table.shape(), |slot, item| of.get(slot.index() * 6 + item.index()).copied());
        let weighed: Vec<_> = weights.iter().map(|(of, width)| (weigh(of).unwrap(), *width)).collect();
        let windows = weighed.iter().map(|(table, width)| Window { table, width: *width }).collect();
        let mut problem = Problem::new(vec![Criterion { table: &table, measure, sense, slack: 0 }], windows).unwrap();
        let (slots, items) = (table.shape().slots, u32::try_from(table.shape().items).unwrap());
        if let Some(item) = brought_in {
            problem = problem.bring_in(Item::new(item % items)).unwrap();
        }
        if let Some((slot, item)) = forbidden {
            problem = problem.forbid(Slot::new(slot % u32::try_from(slots).unwrap()), Item::new(item % items)).unwrap();
        }
        let all = choices(&problem);
        let best = crate::brute::left_after(&problem, 1);
        prop_assume!(!best.is_empty());
        let choice = &best[which.index(best.len())];
        let found = stretches(&problem, &Choice::new(choice.clone())).unwrap();
        for slot in table.slots() {
            for item in table.items() {
                let is_allowed = table.get(slot, item).is_some() && !problem.changes().forbidden.contains(&(slot, item));
                let stretch = found.of(slot, item);
                prop_assert_eq!(stretch.is_some(), is_allowed);
                let Some(stretch) = stretch else { continue };
                let from = table.get(slot, item).unwrap();
                let is_best = |to| is_best(&problem, &all, choice, (slot, item), to);
                ends_where_it_says(stretch.high, from, 1, is_best)?;
                ends_where_it_says(stretch.low, from, -1, is_best)?;
            }
        }
        let worse = all.iter().find(|choice| !best.contains(choice));
        if let Some(worse) = worse {
            prop_assert_eq!(stretches(&problem, &Choice::new(worse.clone())).err(), Some(StretchError::NotBest));
        }
    }
}

#[test]
fn what_has_no_stretches_is_refused() {
    let table = Table::from_fn(pairwright_assign::Shape { slots: 2, items: 2 }, |_, _| Some(1)).unwrap();
    let ask = |measure, windows: Vec<Window<'_>>, items: &[u32]| {
        let criterion = Criterion { table: &table, measure, sense: Sense::Least, slack: 0 };
        let problem = Problem::new(vec![criterion], windows).unwrap();
        stretches(&problem, &Choice::new(items.iter().copied().map(Item::new).collect())).err()
    };
    assert_eq!(ask(Measure::Spread, vec![], &[1, 0]), None);
    let window = |width| vec![Window { table: &table, width }];
    assert_eq!(ask(Measure::Spread, window(0), &[1, 0]), None);
    assert_eq!(ask(Measure::Spread, window(-1), &[1, 0]), Some(StretchError::NotBest));
    for measure in [Measure::SquaresAboutMean, Measure::Spread] {
        let most = Criterion { table: &table, measure, sense: Sense::Most, slack: 0 };
        let problem = Problem::new(vec![most], vec![]).unwrap();
        let choice = Choice::new([1, 0].map(Item::new).to_vec());
        assert_eq!(stretches(&problem, &choice).err(), Some(StretchError::Measure { measure }));
    }
    for none in [&[0, 0][..], &[0], &[0, 7], &[0, 1, 1]] {
        assert_eq!(ask(Measure::Spread, vec![], none), Some(StretchError::NotBest), "{none:?}");
    }
    let empty = Problem::new(vec![], vec![Window { table: &table, width: 9 }]).unwrap();
    let choice = Choice::new([0, 1].map(Item::new).to_vec());
    assert_eq!(stretches(&empty, &choice).err(), Some(StretchError::NoCriterion));
}
