//! The smallest change of each limit, against every choice.

use crate::brute::{choices, exact_goal, shape, table, value};
use crate::chains::{Case, case, some_slack};
use pairwright_assign::{
    Criterion, Item, Limit, Measure, Problem, ProblemError, Range, Sense, Shape, Slot, SmallestChange, Table, Window,
    smallest_changes,
};
use proptest::prelude::*;

/// Every choice when windows and ranges are set aside, with how far each limit has to give for it.
fn shortfalls(problem: &Problem<'_>, ranges: &[Range<'_>]) -> Vec<Vec<(Limit, i128)>> {
    let free = problem.windows().iter().map(|window| Window { width: i64::MAX, ..*window });
    let windows = free.collect();
    let mut bare = Problem::new(problem.criteria().to_vec(), windows).unwrap();
    let changes = problem.changes();
    for &(slot, item) in &changes.forced {
        bare = bare.force(slot, item).unwrap();
    }
    for &(slot, item) in &changes.forbidden {
        bare = bare.forbid(slot, item).unwrap();
    }
    for &item in &changes.left_out {
        bare = bare.leave_out(item).unwrap();
    }
    for &item in &changes.brought_in {
        bare = bare.bring_in(item).unwrap();
    }
    choices(&bare).iter().filter_map(|chosen| shortfall(problem, ranges, chosen)).collect()
}

fn shortfall(problem: &Problem<'_>, ranges: &[Range<'_>], chosen: &[Item]) -> Option<Vec<(Limit, i128)>> {
    let mut all = Vec::new();
    for (at, window) in problem.windows().iter().enumerate() {
        let spread = Criterion { table: window.table, measure: Measure::Spread, sense: Sense::Least, slack: 0 };
        all.push((Limit::Window(at), (value(&spread, chosen) - i128::from(window.width)).max(0)));
    }
    for (at, range) in ranges.iter().enumerate() {
        let cells = (0..).map(Slot::new).zip(chosen).map(|(slot, &item)| range.table.get(slot, item).map(i128::from));
        let cells: Vec<i128> = cells.collect::<Option<_>>()?;
        if let Some(low) = range.low {
            all.push((Limit::Low(at), cells.iter().map(|cell| (i128::from(low) - cell).max(0)).max().unwrap_or(0)));
        }
        if let Some(high) = range.high {
            all.push((Limit::High(at), cells.iter().map(|cell| (cell - i128::from(high)).max(0)).max().unwrap_or(0)));
        }
    }
    Some(all)
}

fn like_enumeration(case: &Case, ranges: &[Range<'_>]) -> Result<(), TestCaseError> {
    let problem = case.problem();
    let all = shortfalls(&problem, ranges);
    for SmallestChange { limit, by } in smallest_changes(&problem, ranges).unwrap() {
        let alone = |short: &&Vec<(Limit, i128)>| short.iter().all(|&(other, by)| other == limit || by == 0);
        let own = |short: &Vec<(Limit, i128)>| short.iter().find(|(other, _)| *other == limit).unwrap().1;
        prop_assert_eq!(by, all.iter().filter(alone).map(own).min(), "{:?}", limit);
    }
    Ok(())
}

fn ends() -> impl Strategy<Value = (Option<i64>, Option<i64>)> {
    (prop::option::of(-20_i64..20), prop::option::of(-20_i64..20))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6_000))]

    #[test]
    fn prop_smallest_changes_like_enumeration(
        (case, first, second) in shape(1..=4, 3).prop_flat_map(|shape| {
            (case(Just(shape), exact_goal(), some_slack()), table(shape, 25, 9), table(shape, 25, 9))
        }),
        ends in prop::collection::vec((ends(), any::<bool>()), 0..=3),
    ) {
        let range = |&((low, high), second_one): &((Option<i64>, Option<i64>), bool)| {
            Range { table: if second_one { &second } else { &first }, low, high }
        };
        let ranges: Vec<Range<'_>> = ends.iter().map(range).collect();
        like_enumeration(&case, &ranges)?;
    }
}

#[test]
fn edges_of_smallest_changes() {
    let none = Table::from_fn(Shape { slots: 0, items: 2 }, |_, _| Some(1)).unwrap();
    let problem = Problem::new(vec![], vec![Window { table: &none, width: -1 }]).unwrap();
    let range = Range { table: &none, low: Some(5), high: Some(-5) };
    let by = |problem: &Problem<'_>, ranges: &[Range<'_>]| -> Vec<Option<i128>> {
        smallest_changes(problem, ranges).unwrap().iter().map(|change| change.by).collect()
    };
    // The window of less than nothing stands in the way of the empty choice, the range does not.
    assert_eq!(by(&problem, &[range]), [Some(1), None, None]);
    // The ends of the numbers.
    let table = Table::from_fn(Shape { slots: 1, items: 1 }, |_, _| Some(Table::LIMIT)).unwrap();
    let problem = Problem::new(vec![], vec![Window { table: &table, width: i64::MIN }]).unwrap();
    assert_eq!(by(&problem, &[]), [Some(-i128::from(i64::MIN))]);
    let free = Problem::new(vec![], vec![Window { table: &table, width: 0 }]).unwrap();
    let far = Range { table: &table, low: Some(i64::MAX), high: None };
    assert_eq!(by(&free, &[far]), [None, Some(i128::from(i64::MAX) - i128::from(Table::LIMIT))]);
    // Upside down, and too far for one end alone.
    let both = Range { table: &table, low: Some(i64::MAX), high: Some(i64::MIN) };
    assert_eq!(by(&free, &[both]), [None; 3]);
    let other = Range { table: &none, low: None, high: None };
    let (expected, found) = (table.shape(), none.shape());
    assert_eq!(smallest_changes(&free, &[other]), Err(ProblemError::Shapes { expected, found }));
}
