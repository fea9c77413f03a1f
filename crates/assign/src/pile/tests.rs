//! The shorter ways against enumeration of the whole problem, on tables with many equal columns.

use super::*;
use crate::brute;
use crate::{Criterion, Measure, Sense, Shape, Slot, Table};
use proptest::prelude::*;

#[derive(Clone, Debug)]
struct Case {
    tables: Vec<Table>,
    chain: Vec<(usize, (Measure, Sense), i64)>,
    changes: Vec<(u8, u32, u32)>,
}

/// Tables whose columns are drawn from a few kinds, the same kinds in all tables.
fn case() -> impl Strategy<Value = Case> {
    let kinds = (1_usize..=3, 1_usize..=4, 0_usize..=6, prop_oneof![Just(1_i64), Just(3), Just(40), Just(4000)]);
    kinds.prop_flat_map(|(slots, kinds, spare, range)| {
        let shape = Shape { slots, items: kinds };
        let tables = prop::collection::vec(brute::table(shape, range, 6), 2);
        let of = prop::collection::vec(0..kinds, slots + spare);
        let slack = prop_oneof![4 => Just(0), 1 => 0..=2 * range];
        let narrow = prop_oneof![2 => Just(Measure::Spread), 1 => Just(Measure::SquaresAboutMean)];
        let first = (0..2_usize, narrow.prop_map(|measure| (measure, Sense::Least)), slack.clone());
        let goal = (0..2_usize, brute::exact_goal(), prop_oneof![6 => Just(0), 1 => 0..=range]);
        let later = prop::collection::vec(goal.clone(), 0..=3);
        let chain = prop_oneof![
            3 => (first, later).prop_map(|(first, later)| std::iter::once(first).chain(later).collect::<Vec<_>>()),
            1 => prop::collection::vec(goal, 1..=3),
        ];
        let changes = prop_oneof![
            2 => Just(Vec::new()),
            1 => prop::collection::vec((0..4_u8, 0..3_u32, 0..9_u32), 1..=3),
        ];
        (tables, of, chain, changes).prop_map(|(kinds, of, chain, changes)| {
            let shape = Shape { slots: kinds[0].shape().slots, items: of.len() };
            let wide = |kind: &Table| {
                let cell = |slot, item: Item| kind.get(slot, Item::new(u32::try_from(of[item.index()]).unwrap()));
                Table::from_fn(shape, cell).unwrap()
            };
            Case { tables: kinds.iter().map(wide).collect(), chain, changes }
        })
    })
}

fn problem(case: &Case) -> Problem<'_> {
    let criterion = |&(table, (measure, sense), slack): &(usize, _, i64)| Criterion {
        table: &case.tables[table],
        measure,
        sense,
        slack,
    };
    let mut problem = Problem::new(case.chain.iter().map(criterion).collect(), vec![]).unwrap();
    let Shape { slots, items } = problem.shape();
    for &(kind, slot, item) in &case.changes {
        let slot = Slot::new(slot % u32::try_from(slots).unwrap());
        let item = Item::new(item % u32::try_from(items).unwrap());
        problem = match kind {
            0 => problem.force(slot, item),
            1 => problem.forbid(slot, item),
            2 => problem.leave_out(item),
            _ => problem.bring_in(item),
        }
        .unwrap();
    }
    problem
}

fn same_answer(problem: &Problem<'_>, outcome: &Outcome) -> Result<(), TestCaseError> {
    let expected = brute::solve(problem);
    match outcome {
        Outcome::Proven(found) => {
            let found = brute::Answer { choice: found.choice.items().to_vec(), values: found.values.clone() };
            prop_assert_eq!(Some(found), expected);
        }
        Outcome::Impossible(shortage) => {
            prop_assert_eq!(expected, None);
            prop_assert_eq!(plain(problem, &Watch::unlimited()), Ok(Outcome::Impossible(shortage.clone())));
        }
        Outcome::BestFound { .. } => {
            let has_slack = problem.criteria().iter().skip(1).any(|criterion| criterion.slack > 0)
                || problem.criteria()[0].slack > 0;
            prop_assert!(has_slack, "left open: {outcome:?}");
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(20_000))]

    #[test]
    fn prop_window_by_window_like_enumeration(case in case()) {
        let problem = problem(&case);
        if let Some(outcome) = by_window::solve(&problem, &Watch::unlimited()) {
            same_answer(&problem, &outcome)?;
        }
    }

    #[test]
    fn prop_the_first_of_items_that_are_alike_are_enough(case in case()) {
        let problem = problem(&case);
        let items = alike::representatives(&problem);
        same_answer(&problem, &among(&problem, items, &Watch::unlimited()).unwrap())?;
    }
}

#[test]
fn a_pile_goes_the_shorter_ways_to_the_plain_answer() {
    for seed in 0..60_i64 {
        let mix = |one: i64, other: i64| (one * 7919 + other * 104_729 + seed * 31).rem_euclid(997);
        let grid = [1, 12, 60][usize::try_from(seed % 3).unwrap()];
        let shape = Shape { slots: 4, items: 400 };
        let table = Table::from_fn(shape, |slot, item| {
            let (slot, item) = (i64::from(slot.number()), i64::from(item.number()));
            let noise = if seed % 2 == 0 { mix(slot, item) % 9 } else { 0 };
            (mix(item, slot) % 50 != 0).then_some((mix(slot, 3) + mix(5, item) + noise) / grid * grid)
        })
        .unwrap();
        let moves = Table::from_fn(shape, |slot, item| Some(i64::from(slot.number() + 9 != item.number()))).unwrap();
        let least = |table, measure| Criterion { table, measure, sense: Sense::Least, slack: 0 };
        let chain = vec![
            least(&table, Measure::Spread),
            least(&table, Measure::SquaresAboutMean),
            least(&moves, Measure::Total),
        ];
        let problem = Problem::new(chain, vec![]).unwrap();
        let (slot, item) = (Slot::new(2), Item::new(17));
        let problems = [
            problem.clone(),
            problem.clone().force(slot, item).unwrap(),
            problem.clone().bring_in(item).unwrap(),
            problem.clone().leave_out(item).unwrap().forbid(slot, Item::new(18)).unwrap(),
        ];
        for problem in &problems {
            let watch = Watch::unlimited();
            match (solve(problem, &watch), plain(problem, &watch)) {
                (Some(short), long) => assert_eq!(short, long, "seed {seed}"),
                (None, long) => assert!(matches!(long, Ok(Outcome::Impossible(_))), "seed {seed}: {long:?}"),
            }
        }
    }
}
