//! Side conditions against enumeration.

use crate::brute::{any_goal, choices, exact_goal, shape, table, value};
use pairwright_assign::sides::{Side, SidedOutcome, SidedProblem, Standstill, solve_sided, solve_sided_within};
use pairwright_assign::{
    Along, Criterion, Item, Measure, Neighbour, Problem, Sense, Shape, Sides, Slot, Table, TotalLimit, Window,
};
use pairwright_proof::check_sided;
use proptest::prelude::*;

#[derive(Clone, Debug)]
pub(crate) struct Case {
    tables: Vec<Table>,
    /// Table, goal, slack.
    pub(crate) chain: Vec<(usize, (Measure, Sense), i64)>,
    /// Table, width.
    windows: Vec<(usize, i64)>,
    /// Slots, table, most.
    neighbours: Vec<(u32, u32, usize, i64)>,
    /// Table, least, most.
    totals: Vec<(usize, Option<i128>, Option<i128>)>,
    together: Vec<Vec<u32>>,
    along: Vec<(u32, u32)>,
    exclusive: Vec<Vec<u32>>,
    left_out: Option<u32>,
    brought_in: Option<u32>,
}

impl Case {
    pub(crate) fn problem(&self) -> SidedProblem<'_> {
        let criterion = |&(table, (measure, sense), slack): &(usize, _, i64)| Criterion {
            table: &self.tables[table],
            measure,
            sense,
            slack,
        };
        let window = |&(table, width): &(usize, i64)| Window { table: &self.tables[table], width };
        let criteria = self.chain.iter().map(criterion).collect();
        let mut problem = Problem::new(criteria, self.windows.iter().map(window).collect()).unwrap();
        if let Some(item) = self.left_out {
            problem = problem.leave_out(self.item(item)).unwrap();
        }
        if let Some(item) = self.brought_in {
            problem = problem.bring_in(self.item(item)).unwrap();
        }
        SidedProblem::new(problem, self.sides()).unwrap()
    }

    fn item(&self, item: u32) -> Item {
        Item::new(item % u32::try_from(self.tables[0].shape().items).unwrap())
    }

    fn sides(&self) -> Sides<'_> {
        let slot = |slot: u32| Slot::new(slot % u32::try_from(self.tables[0].shape().slots).unwrap());
        let sets = |sets: &[Vec<u32>]| {
            sets.iter().map(|set| set.iter().map(|&item| self.item(item)).collect::<Vec<_>>()).collect::<Vec<_>>()
        };
        let neighbour = |&(one, other, table, most): &(u32, u32, usize, i64)| Neighbour {
            one: slot(one),
            other: slot(other),
            table: &self.tables[table],
            most,
        };
        let total = |&(table, least, most): &(usize, _, _)| TotalLimit { table: &self.tables[table], least, most };
        let along = |&(item, with): &(u32, u32)| Along { item: self.item(item), with: self.item(with) };
        Sides {
            neighbours: self.neighbours.iter().map(neighbour).collect(),
            totals: self.totals.iter().map(total).collect(),
            together: sets(&self.together),
            along: self.along.iter().map(along).collect(),
            exclusive: sets(&self.exclusive),
        }
    }
}

/// Whether the sides that `is_on` names are kept; the pairs are allowed.
fn keeps(sides: &Sides<'_>, chosen: &[Item], is_on: impl Fn(Side) -> bool) -> bool {
    let cell = |table: &Table, slot: Slot| table.get(slot, chosen[slot.index()]).unwrap();
    let used = |item: &Item| chosen.contains(item);
    let count = |set: &[Item]| {
        let mut set = set.to_vec();
        set.sort_unstable();
        set.dedup();
        (set.iter().filter(|item| used(item)).count(), set.len())
    };
    let neighbours = sides.neighbours.iter().enumerate().all(|(at, limit)| {
        let apart = cell(limit.table, limit.one) - cell(limit.table, limit.other);
        !is_on(Side::Neighbour(at)) || apart.abs() <= limit.most
    });
    let totals = sides.totals.iter().enumerate().all(|(at, limit)| {
        let slots = (0..).map(Slot::new).take(chosen.len());
        let total: i128 = slots.map(|slot| i128::from(cell(limit.table, slot))).sum();
        !is_on(Side::Total(at))
            || limit.least.is_none_or(|least| total >= least) && limit.most.is_none_or(|most| total <= most)
    });
    let together = sides.together.iter().enumerate().all(|(at, set)| {
        let (used, all) = count(set);
        !is_on(Side::Together(at)) || used == 0 || used == all
    });
    let mut along = sides.along.iter().enumerate();
    let along = along.all(|(at, pair)| !is_on(Side::Along(at)) || !used(&pair.item) || used(&pair.with));
    let exclusive =
        sides.exclusive.iter().enumerate().all(|(at, set)| !is_on(Side::Exclusive(at)) || count(set).0 <= 1);
    neighbours && totals && together && along && exclusive
}

/// Every choice whose pairs all tables allow and that keeps the changes and what `is_on` names, in order.
fn kept(sided: &SidedProblem<'_>, is_on: impl Fn(Side) -> bool + Copy) -> Vec<Vec<Item>> {
    let problem = sided.problem();
    let changes = problem.changes();
    let mut bare = Problem::new(problem.criteria().to_vec(), vec![]).unwrap();
    for &item in &changes.left_out {
        bare = bare.leave_out(item).unwrap();
    }
    for &item in &changes.brought_in {
        bare = bare.bring_in(item).unwrap();
    }
    let mut all = choices(&bare);
    let tables: Vec<&Table> =
        sided.sides().tables().chain(problem.windows().iter().map(|window| window.table)).collect();
    all.retain(|chosen| {
        let pairs = || (0..).map(Slot::new).zip(chosen);
        let allowed = tables.iter().all(|table| pairs().all(|(slot, &item)| table.get(slot, item).is_some()));
        allowed
            && keeps(sided.sides(), chosen, is_on)
            && problem.windows().iter().enumerate().all(|(at, window)| {
                let spread = Criterion { table: window.table, measure: Measure::Spread, sense: Sense::Least, slack: 0 };
                !is_on(Side::Window(at)) || value(&spread, chosen) <= i128::from(window.width)
            })
    });
    all
}

/// The choices left after the first `levels` criteria.
pub(crate) fn left_after(sided: &SidedProblem<'_>, levels: usize) -> Vec<Vec<Item>> {
    let mut left = kept(sided, |_| true);
    for criterion in &sided.problem().criteria()[..levels] {
        let sign = if criterion.sense == Sense::Least { 1 } else { -1 };
        let score = |choice: &Vec<Item>| sign * value(criterion, choice);
        let Some(best) = left.iter().map(score).min() else { break };
        left.retain(|choice| score(choice) <= best + i128::from(criterion.slack));
    }
    left
}

fn sorted(sets: Vec<Side>) -> Vec<Side> {
    let mut sets = sets;
    sets.sort_unstable();
    sets
}

fn standstill_is_minimal(sided: &SidedProblem<'_>, standstill: &Standstill) -> Result<(), TestCaseError> {
    let Standstill::Sides(conflict) = standstill else {
        prop_assert!(kept(sided, |_| false).is_empty());
        return Ok(());
    };
    prop_assert!(conflict.minimal);
    let only = |sides: &[Side]| !kept(sided, |side| sides.contains(&side)).is_empty();
    prop_assert!(!only(&conflict.together));
    for out in &conflict.together {
        let rest: Vec<Side> = conflict.together.iter().copied().filter(|side| side != out).collect();
        prop_assert!(only(&rest), "{out:?} could be dropped from {conflict:?}");
    }
    let but = |out: &[Side]| !kept(sided, |side| !out.contains(&side)).is_empty();
    prop_assert!(but(&conflict.without));
    for back in &conflict.without {
        let rest: Vec<Side> = conflict.without.iter().copied().filter(|side| side != back).collect();
        prop_assert!(!but(&rest), "{back:?} could be put back in {conflict:?}");
    }
    prop_assert_eq!(sorted(conflict.without.clone()), conflict.without.clone());
    Ok(())
}

fn like_enumeration(case: &Case) -> Result<(), TestCaseError> {
    let sided = case.problem();
    let expected = left_after(&sided, case.chain.len()).into_iter().next();
    match solve_sided(&sided) {
        SidedOutcome::Proven(solution) => {
            let statement = sided.problem().statement();
            let checked = check_sided(&statement, sided.sides(), &solution.choice, &solution.values);
            prop_assert_eq!(checked, Ok(()));
            prop_assert_eq!(Some(solution.choice.items().to_vec()), expected);
        }
        SidedOutcome::Impossible(standstill) => {
            prop_assert_eq!(expected, None);
            standstill_is_minimal(&sided, &standstill)?;
        }
        open => prop_assert!(false, "left open: {open:?}"),
    }
    Ok(())
}

/// What an outcome left open still promises.
fn promises_hold(case: &Case, effort: u64) -> Result<(), TestCaseError> {
    let sided = case.problem();
    let sided = SidedProblem::new(sided.problem().clone().with_effort(effort), case.sides()).unwrap();
    outcome_holds(&sided, case.chain.len(), solve_sided(&sided))
}

fn outcome_holds(sided: &SidedProblem<'_>, levels: usize, outcome: SidedOutcome) -> Result<(), TestCaseError> {
    let (bound, choice) = match outcome {
        SidedOutcome::Proven(solution) => {
            let expected = left_after(sided, levels).into_iter().next();
            prop_assert_eq!(Some(solution.choice.items().to_vec()), expected);
            return Ok(());
        }
        SidedOutcome::Impossible(_) => {
            prop_assert!(kept(sided, |_| true).is_empty());
            return Ok(());
        }
        SidedOutcome::BestFound { solution, bound, .. } => {
            let statement = sided.problem().statement();
            let checked = check_sided(&statement, sided.sides(), &solution.choice, &solution.values);
            prop_assert_eq!(checked, Ok(()));
            (bound, Some(solution.choice.items().to_vec()))
        }
        SidedOutcome::Undecided { bound, .. } => (bound, None),
    };
    let left = left_after(sided, bound.criterion);
    if let Some(choice) = choice {
        prop_assert!(left.contains(&choice));
    }
    if let Some(criterion) = sided.problem().criteria().get(bound.criterion) {
        let beyond = |value: i128| match criterion.sense {
            Sense::Least => value < bound.value,
            Sense::Most => value > bound.value,
        };
        prop_assert!(!left.iter().any(|choice| beyond(value(criterion, choice))));
    }
    Ok(())
}

fn some<T: std::fmt::Debug + Clone>(
    one: impl Strategy<Value = T> + 'static,
    most: usize,
) -> impl Strategy<Value = Vec<T>> {
    prop_oneof![1 => Just(Vec::new()), 1 => prop::collection::vec(one, 1..=most)]
}

pub(crate) fn case(
    shape: impl Strategy<Value = Shape>,
    goal: BoxedStrategy<(Measure, Sense)>,
    slack: BoxedStrategy<i64>,
) -> impl Strategy<Value = Case> {
    let range = prop_oneof![Just(1_i64), Just(4), Just(30), Just(1000)];
    (shape, range, prop_oneof![Just(3_u32), Just(8), Just(1000)]).prop_flat_map(move |(shape, range, rarity)| {
        let tables = prop::collection::vec(table(shape, range, rarity), 3);
        let chain = prop::collection::vec((0..3_usize, goal.clone(), slack.clone()), 1..=3);
        let windows =
            prop_oneof![2 => Just(Vec::new()), 1 => prop::collection::vec((0..3_usize, -1..=2 * range), 1..=2)];
        let neighbours = some((0..9_u32, 0..9_u32, 0..3_usize, -1..=range), 3);
        let end = i128::from(range) * 4;
        let limit = prop_oneof![1 => Just(None), 2 => (-end..=end).prop_map(Some)];
        let totals = some((0..3_usize, limit.clone(), limit), 2);
        let set = || prop::collection::vec(0..9_u32, 0..=3);
        let sets = (some(set(), 2), some((0..9_u32, 0..9_u32), 2), some(set(), 2));
        let changes = (prop::option::weighted(0.2, 0..9_u32), prop::option::weighted(0.2, 0..9_u32));
        (tables, chain, windows, neighbours, totals, sets, changes).prop_map(
            |(tables, chain, windows, neighbours, totals, (together, along, exclusive), (left_out, brought_in))| Case {
                tables,
                chain,
                windows,
                neighbours,
                totals,
                together,
                along,
                exclusive,
                left_out,
                brought_in,
            },
        )
    })
}

pub(crate) fn some_slack() -> BoxedStrategy<i64> {
    prop_oneof![2 => Just(0), 1 => 0_i64..40].boxed()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8_000))]

    #[test]
    fn prop_small_problems_with_any_sides(case in case(shape(1..=4, 3), any_goal(), some_slack())) {
        like_enumeration(&case)?;
    }

    #[test]
    fn prop_cut_short_searches_promise_no_more_than_they_know(
        case in case(shape(2..=4, 3), any_goal(), some_slack()),
        effort in 0_u64..6,
    ) {
        promises_hold(&case, effort)?;
    }

    #[test]
    fn prop_budgets_end_with_what_is_known(
        case in case(shape(2..=4, 3), any_goal(), some_slack()),
        end in crate::budgets::end(),
    ) {
        let sided = case.problem();
        let outcome = end.within(|budget| solve_sided_within(&sided, budget));
        outcome_holds(&sided, case.chain.len(), outcome)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn prop_larger_problems_with_any_sides(case in case(shape(5..=5, 2), exact_goal(), some_slack())) {
        like_enumeration(&case)?;
    }
}
