//! Inherited prices against solves anew, and against the checker.

use super::anew::Anew;
use super::choices::{Way, ranked};
use super::costs::Number;
use super::inherit::{Inherit, Part};
use crate::brute;
use crate::{Choice, Criterion, Item, Measure, Problem, Sense, Shape, Slot, Solution, Table};
use pairwright_proof::{Level, Prices, Proof, Refutation, check_choice, check_proof};
use proptest::prelude::*;

#[derive(Clone, Debug)]
struct Case {
    tables: Vec<Table>,
    chain: Vec<(usize, (Measure, Sense))>,
    changes: Vec<(u8, u32, u32)>,
}

impl Case {
    fn problem(&self) -> Problem<'_> {
        let criterion = |&(table, (measure, sense)): &(usize, _)| Criterion {
            table: &self.tables[table],
            measure,
            sense,
            slack: 0,
        };
        let mut problem = Problem::new(self.chain.iter().map(criterion).collect(), vec![]).unwrap();
        let Shape { slots, items } = problem.shape();
        for &(kind, slot, item) in &self.changes {
            let slot = Slot::new(slot % u32::try_from(slots).unwrap());
            let item = Item::new(item % u32::try_from(items).unwrap());
            problem = match kind {
                0 => problem.force(slot, item),
                1 => problem.forbid(slot, item),
                _ => problem.leave_out(item),
            }
            .unwrap();
        }
        problem
    }
}

fn sum() -> impl Strategy<Value = (Measure, Sense)> {
    let sense = prop_oneof![Just(Sense::Least), Just(Sense::Most)];
    prop_oneof![
        2 => sense.clone().prop_map(|sense| (Measure::Total, sense)),
        1 => (-9_i64..9, sense).prop_map(|(target, sense)| (Measure::SquaresFrom { target }, sense)),
    ]
}

/// From heavily tied values to hardly any ties, from tables without spare items to tables with many.
fn case(slots: std::ops::RangeInclusive<usize>, later: usize) -> impl Strategy<Value = Case> {
    let range = prop_oneof![Just(0_i64), Just(1), Just(4), Just(30), Just(100_000)];
    (brute::shape(slots, 4), range, prop_oneof![Just(2_u32), Just(5), Just(1000)]).prop_flat_map(
        move |(shape, range, rarity)| {
            let tables = prop::collection::vec(brute::table(shape, range, rarity), 2);
            let chain = (sum(), prop::collection::vec((0..2_usize, brute::exact_goal()), 0..=later));
            let change = (0..3_u8, 0..20_u32, 0..20_u32);
            let changes = prop_oneof![2 => Just(Vec::new()), 1 => prop::collection::vec(change, 1..=2)];
            (tables, chain, changes).prop_map(|(tables, (first, later), changes)| Case {
                tables,
                chain: std::iter::once((0, first)).chain(later).collect(),
                changes,
            })
        },
    )
}

/// As many of the first choices, anew.
fn anew(problem: &Problem<'_>, count: usize) -> Vec<Solution> {
    let mut parts = Anew::new(problem);
    std::iter::from_fn(|| parts.next()).take(count).collect()
}

fn inherits(problem: &Problem<'_>) -> bool {
    matches!(Way::open(problem), Way::Inherit(_) | Way::InheritWide(_))
}

fn same_as_anew(problem: &Problem<'_>, count: usize) -> Result<(), TestCaseError> {
    prop_assert!(inherits(problem));
    let found: Vec<Solution> = ranked(problem).unwrap().take(count).collect();
    for solution in &found {
        prop_assert_eq!(check_choice(&problem.statement(), &solution.choice, &solution.values), Ok(()));
    }
    prop_assert_eq!(found, anew(problem, count));
    Ok(())
}

/// The checker accepts the prices of every part that has any, for the choices of just that part.
fn parts_are_proven<W: Number>(problem: &Problem<'_>, parts: &Inherit<'_, W>) -> Result<usize, TestCaseError> {
    let mut proven = 0;
    for held in parts.open.values().filter_map(|part| match part {
        Part::Bounded { .. } => None,
        Part::Priced(held) => Some(held),
        Part::Settled(held) => Some(&**held),
    }) {
        let choice = Choice::new(held.items.to_vec());
        let mut changes = problem.changes().clone();
        let mut prices = Prices::default();
        for (slot, item) in choice.pairs() {
            let at = slot.index();
            let cost = parts.costs.row(at)[item.index()].into();
            let (of_slot, of_item) =
                if at < held.kept { (cost, 0) } else { (held.slot_price[at].into(), held.item_price[at].into()) };
            prices.slots.push(of_slot);
            prices.items.extend((of_item != 0).then_some((item, of_item)));
            if at < held.kept {
                changes.forced.push((slot, item));
            }
            changes.forbidden.extend(held.barred_at(at).iter().map(|&barred| (slot, barred)));
        }
        prices.items.sort_unstable();
        let part = problem.clone().with_changes(changes);
        let sense = problem.criteria()[0].sense;
        let value = if sense == Sense::Least { held.total } else { -held.total };
        let reason = Refutation::Prices { level: 0, prices, then: None };
        let proof = Proof { levels: vec![Level { best: value, witness: None, reason }] };
        let checked = check_proof(&part.statement(), &choice, &[value], &proof).map(|checked| checked.levels);
        prop_assert_eq!(checked, Ok(1));
        proven += 1;
    }
    Ok(proven)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(crate::jobs::jobs(2_000)))]

    #[test]
    fn prop_the_first_of_one_sum(case in case(1..=9, 0)) {
        same_as_anew(&case.problem(), 25)?;
    }

    #[test]
    fn prop_the_first_of_a_chain_after_a_sum(case in case(1..=6, 2)) {
        same_as_anew(&case.problem(), 12)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(crate::jobs::jobs(100)))]

    #[test]
    fn prop_the_first_of_larger_tables(case in case(10..=24, 0)) {
        same_as_anew(&case.problem(), 40)?;
    }

    #[test]
    fn prop_the_checker_accepts_the_prices_of_parts(case in case(2..=12, 0)) {
        let problem = case.problem();
        match Way::open(&problem) {
            Way::Inherit(mut parts) => {
                let mut proven = parts_are_proven(&problem, &parts)?;
                for _ in 0..30 {
                    parts.next();
                    proven += parts_are_proven(&problem, &parts)?;
                }
                prop_assert!(proven > 0 || ranked(&problem).unwrap().next().is_none());
            }
            other => prop_assert!(false, "{other:?}"),
        }
    }
}

/// Numbers below `bound` that look random.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, bound: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        i64::try_from(self.0 >> 33).unwrap() % bound
    }
}

#[test]
fn costs_at_the_ends_of_what_a_table_holds_are_ranked_alike() {
    for (seed, items) in [(1, 9), (2, 13)] {
        let mut numbers = Numbers(seed);
        let ends = [-Table::LIMIT, -Table::LIMIT + 1, Table::LIMIT - 1, Table::LIMIT];
        let shape = Shape { slots: 9, items };
        let table = Table::from_fn(shape, |_, _| Some(ends[usize::try_from(numbers.below(4)).unwrap()])).unwrap();
        for sense in [Sense::Least, Sense::Most] {
            let measure = Measure::SquaresFrom { target: Table::LIMIT };
            let squares = Criterion { table: &table, measure, sense, slack: 0 };
            let total = Criterion { measure: Measure::Total, ..squares };
            let wide = Problem::new(vec![squares], vec![]).unwrap();
            assert!(matches!(Way::open(&wide), Way::InheritWide(_)));
            for problem in [wide, Problem::new(vec![total], vec![]).unwrap()] {
                same_as_anew(&problem, 30).unwrap();
            }
        }
    }
}

#[test]
fn nothing_is_inherited_under_windows_or_where_an_item_has_to_be_used() {
    let table = Table::from_fn(Shape { slots: 2, items: 3 }, |_, item| Some(i64::from(item.number()))).unwrap();
    let total = Criterion { table: &table, measure: Measure::Total, sense: Sense::Least, slack: 0 };
    let problem = Problem::new(vec![total], vec![]).unwrap();
    assert!(inherits(&problem));
    assert!(!inherits(&problem.bring_in(Item::new(2)).unwrap()));
    let window = pairwright_proof::Window { table: &table, width: 1 };
    assert!(!inherits(&Problem::new(vec![total], vec![window]).unwrap()));
    let spread = Criterion { measure: Measure::Spread, ..total };
    assert!(!inherits(&Problem::new(vec![spread], vec![]).unwrap()));
}
