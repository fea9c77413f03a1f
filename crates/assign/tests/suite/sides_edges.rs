//! Side conditions at the edges: contradictions, nothing to choose from, values at the ends.

use pairwright_assign::sides::{Conflict, Side, SidedOutcome, SidedProblem, SidesError, Standstill, solve_sided};
use pairwright_assign::{
    Along, Cause, Criterion, Item, Measure, Neighbour, Problem, Reason, Sense, Shape, Sides, Slot, Table, TotalLimit,
    Window,
};
use pairwright_proof::check_sided;

const SHAPE: Shape = Shape { slots: 3, items: 5 };

fn table(shape: Shape, value: impl Fn(i64, i64) -> i64) -> Table {
    Table::from_fn(shape, |slot, item| Some(value(slot.number().into(), item.number().into()))).unwrap()
}

fn least(table: &Table, measure: Measure) -> Criterion<'_> {
    Criterion { table, measure, sense: Sense::Least, slack: 0 }
}

fn total(table: &Table, least: Option<i128>, most: Option<i128>) -> TotalLimit<'_> {
    TotalLimit { table, least, most }
}

fn sided<'t>(table: &'t Table, measure: Measure, sides: Sides<'t>) -> SidedProblem<'t> {
    SidedProblem::new(Problem::new(vec![least(table, measure)], vec![]).unwrap(), sides).unwrap()
}

fn conflict(outcome: SidedOutcome) -> Conflict {
    match outcome {
        SidedOutcome::Impossible(Standstill::Sides(conflict)) => conflict,
        other => panic!("sides were to stand in the way: {other:?}"),
    }
}

#[test]
fn sides_that_name_what_is_not_there_are_refused() {
    let (table, other) = (table(SHAPE, |_, _| 0), table(Shape { slots: 3, items: 4 }, |_, _| 0));
    let refused = |sides| {
        SidedProblem::new(Problem::new(vec![least(&table, Measure::Total)], vec![]).unwrap(), sides).unwrap_err()
    };
    let (slot, item) = (Slot::new(3), Item::new(5));
    let neighbours = |table, other| vec![Neighbour { one: Slot::new(0), other, table, most: 0 }];
    let shapes = SidesError::Shapes { expected: SHAPE, found: other.shape() };
    assert_eq!(refused(Sides { neighbours: neighbours(&other, Slot::new(1)), ..Sides::default() }), shapes);
    assert_eq!(
        refused(Sides { neighbours: neighbours(&table, slot), ..Sides::default() }),
        SidesError::NoSlot { slot, slots: 3 }
    );
    let no_item = SidesError::NoItem { item, items: 5 };
    assert_eq!(refused(Sides { together: vec![vec![Item::new(0), item]], ..Sides::default() }), no_item);
    assert_eq!(refused(Sides { exclusive: vec![vec![item]], ..Sides::default() }), no_item);
    assert_eq!(refused(Sides { along: vec![Along { item: Item::new(1), with: item }], ..Sides::default() }), no_item);
}

#[test]
fn contradictory_sides_are_named_and_innocent_ones_are_not() {
    let values = table(SHAPE, |slot, item| 10 * slot + item);
    let prices = table(SHAPE, |_, item| item);
    let neighbour = |one, other, most| Neighbour { one: Slot::new(one), other: Slot::new(other), table: &values, most };
    let sides = Sides {
        neighbours: vec![neighbour(0, 1, 12), neighbour(1, 2, 6)],
        // Slots 1 and 2 within 6 means items 4 and 0 there: with a third item the price is 5.
        totals: vec![total(&prices, None, Some(4)), total(&values, Some(0), None)],
        exclusive: vec![vec![Item::new(2), Item::new(3)]],
        ..Sides::default()
    };
    let found = conflict(solve_sided(&sided(&values, Measure::Spread, sides)));
    assert_eq!(found.together, [Side::Neighbour(1), Side::Total(0)]);
    assert_eq!(found.without, [Side::Total(0)]);
    assert!(found.minimal);
}

#[test]
fn a_negative_limit_and_an_upside_down_one_hold_nothing() {
    let values = table(SHAPE, |slot, item| slot + item);
    let itself = Neighbour { one: Slot::new(1), other: Slot::new(1), table: &values, most: -1 };
    let found =
        conflict(solve_sided(&sided(&values, Measure::Total, Sides { neighbours: vec![itself], ..Sides::default() })));
    assert_eq!((found.together, found.without), (vec![Side::Neighbour(0)], vec![Side::Neighbour(0)]));

    let upside_down = Sides { totals: vec![total(&values, Some(9), Some(8))], ..Sides::default() };
    assert_eq!(conflict(solve_sided(&sided(&values, Measure::Spread, upside_down))).together, [Side::Total(0)]);

    let window = Window { table: &values, width: -1 };
    let problem = Problem::new(vec![least(&values, Measure::Total)], vec![window]).unwrap();
    let found = conflict(solve_sided(&SidedProblem::new(problem, Sides::default()).unwrap()));
    assert_eq!(found.together, [Side::Window(0)]);
}

#[test]
fn without_pairs_the_sides_are_not_to_blame() {
    let shut = Table::from_fn(SHAPE, |_, _| None).unwrap();
    let open = table(SHAPE, |_, _| 1);
    for (criterion, limited) in [(&shut, &open), (&open, &shut)] {
        let sides = Sides { totals: vec![total(limited, None, Some(-5))], ..Sides::default() };
        match solve_sided(&sided(criterion, Measure::Spread, sides)) {
            SidedOutcome::Impossible(Standstill::Pairs(shortage)) => assert_eq!(shortage.cause, Cause::Pairs),
            other => panic!("no pair is allowed: {other:?}"),
        }
    }
}

#[test]
fn no_slots_choose_nothing_and_are_worth_nothing() {
    for items in [0, 4] {
        let empty = table(Shape { slots: 0, items }, |_, _| 0);
        for measure in [Measure::Spread, Measure::Total, Measure::SquaresAboutMean, Measure::Greatest] {
            let zero = Sides { totals: vec![total(&empty, Some(0), Some(0))], ..Sides::default() };
            match solve_sided(&sided(&empty, measure, zero)) {
                SidedOutcome::Proven(solution) => assert_eq!(solution.values, [0]),
                other => panic!("the empty choice is one: {other:?}"),
            }
            let one = Sides { totals: vec![total(&empty, Some(1), None)], ..Sides::default() };
            assert_eq!(conflict(solve_sided(&sided(&empty, measure, one))).without, [Side::Total(0)]);
        }
    }
}

#[test]
fn sets_of_no_item_and_of_one_item_ask_nothing() {
    let values = table(SHAPE, |slot, item| slot * item);
    let plain = solve_sided(&sided(&values, Measure::Total, Sides::default()));
    let sides = Sides {
        together: vec![vec![], vec![Item::new(2)]],
        exclusive: vec![vec![], vec![Item::new(0), Item::new(0)]],
        along: vec![Along { item: Item::new(1), with: Item::new(1) }],
        ..Sides::default()
    };
    assert_eq!(solve_sided(&sided(&values, Measure::Total, sides)), plain);
}

#[test]
fn more_items_that_go_together_than_slots_all_stay_out() {
    let values = table(SHAPE, |_, item| item);
    let four = Sides { together: vec![(0..4).map(Item::new).collect()], ..Sides::default() };
    let found = conflict(solve_sided(&sided(&values, Measure::Total, four)));
    assert_eq!(found.together, [Side::Together(0)]);
}

#[test]
fn values_at_the_ends_are_reckoned_exactly() {
    let far = table(
        Shape { slots: 4, items: 5 },
        |slot, item| {
            if (slot + item) % 2 == 0 { Table::LIMIT } else { -Table::LIMIT }
        },
    );
    let apart = Neighbour { one: Slot::new(0), other: Slot::new(1), table: &far, most: 2 * Table::LIMIT - 1 };
    let anything = total(&far, Some(i128::MIN), Some(i128::MAX));
    for measure in [
        Measure::Spread,
        Measure::Total,
        Measure::SquaresAboutMean,
        Measure::SquaresFrom { target: Table::LIMIT },
        Measure::WorstFrom { target: -Table::LIMIT },
    ] {
        let most = i64::MAX;
        let sides = Sides {
            neighbours: vec![apart, Neighbour { most, ..apart }],
            totals: vec![anything, total(&far, Some(-i128::from(Table::LIMIT) * 2), None)],
            ..Sides::default()
        };
        let problem = sided(&far, measure, sides);
        let SidedOutcome::Proven(best) = solve_sided(&problem) else { panic!("a small table: {measure:?}") };
        let statement = problem.problem().statement();
        assert_eq!(check_sided(&statement, problem.sides(), &best.choice, &best.values), Ok(()));
    }
    for (low, high) in [(Some(i128::MAX), None), (None, Some(i128::MIN))] {
        let sides = Sides { totals: vec![total(&far, low, high)], ..Sides::default() };
        assert_eq!(conflict(solve_sided(&sided(&far, Measure::Spread, sides))).together, [Side::Total(0)]);
    }
}

#[test]
fn without_effort_the_outcome_says_what_it_knows() {
    let mut state = 1_u64;
    let mut next = |range: u64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        i64::try_from((state >> 33) % range).unwrap()
    };
    let shape = Shape { slots: 6, items: 8 };
    let values = Table::from_fn(shape, |_, _| Some(next(1000))).unwrap();
    let prices = Table::from_fn(shape, |_, _| Some(next(1000))).unwrap();
    // Prices in a narrow band about what six items usually cost: no sieve sees at once whether that can be met.
    let sides = || Sides { totals: vec![total(&prices, Some(3001), Some(3001))], ..Sides::default() };
    let problem = |effort| {
        let problem = Problem::new(vec![least(&values, Measure::Total)], vec![]).unwrap().with_effort(effort);
        SidedProblem::new(problem, sides()).unwrap()
    };
    let SidedOutcome::Undecided { bound, reason } = solve_sided(&problem(0)) else { panic!("nothing was searched") };
    assert_eq!((bound.criterion, reason), (0, Reason::EffortSpent));
    let SidedOutcome::Proven(best) = solve_sided(&problem(1_000_000)) else { panic!("six slots can be searched") };
    assert!(bound.value <= best.values[0]);
}
