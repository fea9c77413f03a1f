//! 0/1 models through `microlp` against the search, and generalised assignment from OR-Library.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

use pairwright_assign::program::{ProgramError, ProgramOutcome, Said, solve_program};
use pairwright_assign::sides::{SidedOutcome, SidedProblem, solve_sided};
use pairwright_assign::{
    Along, Criterion, Item, Measure, Neighbour, Problem, Sense, Shape, Sides, Slot, Table, TotalLimit, Window,
};
use pairwright_proof::check_sided;

/// `SplitMix64` (Steele, Lea and Flood 2014; constants from memory).
struct Mix(u64);

impl Mix {
    fn below(&mut self, range: u64) -> i64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        i64::try_from((mixed ^ (mixed >> 31)) % range).unwrap()
    }

    fn table(&mut self, shape: Shape, range: u64) -> Table {
        Table::from_fn(shape, |_, _| Some(self.below(range)).filter(|value| value % 9 != 4)).unwrap()
    }
}

/// Every kind of side at once, tight enough to matter.
fn sides<'t>(mix: &mut Mix, values: &'t Table, prices: &'t Table) -> Sides<'t> {
    let shape = values.shape();
    let mut item = || Item::new(u32::try_from(mix.below(shape.items as u64)).unwrap());
    let near = |slot| Neighbour { one: Slot::new(slot), other: Slot::new(slot + 1), table: values, most: 60 };
    let budget = 35 * shape.slots as i128;
    Sides {
        neighbours: (0..2).map(near).collect(),
        totals: vec![TotalLimit { table: prices, least: Some(budget / 3), most: Some(budget) }],
        together: vec![vec![item(), item()]],
        along: vec![Along { item: item(), with: item() }],
        exclusive: vec![vec![item(), item(), item()]],
    }
}

/// A model's answer keeps every rule, is never better than the proven one, and its bound never claims more than that.
#[test]
fn models_and_search_agree_on_small_problems() {
    let goals = [
        (Measure::Spread, Sense::Least),
        (Measure::Total, Sense::Least),
        (Measure::Total, Sense::Most),
        (Measure::Greatest, Sense::Least),
        (Measure::Least, Sense::Most),
        (Measure::WorstFrom { target: 40 }, Sense::Least),
        (Measure::SquaresFrom { target: 40 }, Sense::Least),
    ];
    let shape = Shape { slots: 5, items: 7 };
    let (mut met, mut none) = (0, 0);
    for seed in 1..=10 {
        for (measure, sense) in goals {
            let mut mix = Mix(seed);
            let [values, prices, masses] = [(); 3].map(|()| mix.table(shape, 100));
            let criterion = Criterion { table: &values, measure, sense, slack: 0 };
            let window = Window { table: &masses, width: 85 };
            let problem = Problem::new(vec![criterion], vec![window]).unwrap();
            let sided = SidedProblem::new(problem, sides(&mut mix, &values, &prices)).unwrap();
            let sign = if sense == Sense::Least { 1 } else { -1 };
            match (solve_program(&sided, 0, None).unwrap(), solve_sided(&sided)) {
                (ProgramOutcome::BestFound { solution, bound, said }, SidedOutcome::Proven(best)) => {
                    let statement = sided.problem().statement();
                    let checked = check_sided(&statement, sided.sides(), &solution.choice, &solution.values);
                    assert_eq!(checked, Ok(()));
                    assert_eq!((said, &solution.values), (Said::Optimal, &best.values), "{seed} {measure:?}");
                    assert!(bound.criterion == 1 || sign * bound.value <= sign * best.values[0]);
                    met += 1;
                }
                (ProgramOutcome::Impossible(_) | ProgramOutcome::Undecided { .. }, SidedOutcome::Impossible(_)) => {
                    none += 1;
                }
                other => panic!("{seed} {measure:?}: {other:?}"),
            }
        }
    }
    assert!(met >= 20 && none >= 5, "{met} with a choice, {none} without");
}

#[test]
fn what_is_not_linear_is_refused() {
    let table = Mix(1).table(Shape { slots: 2, items: 3 }, 4);
    let refused = |measure, sense| {
        let problem = Problem::new(vec![Criterion { table: &table, measure, sense, slack: 0 }], vec![]).unwrap();
        solve_program(&SidedProblem::new(problem, Sides::default()).unwrap(), 0, None).unwrap_err()
    };
    for (measure, sense) in [(Measure::SquaresAboutMean, Sense::Least), (Measure::Spread, Sense::Most)] {
        assert_eq!(refused(measure, sense), ProgramError::NotLinear { measure, sense });
    }
    let problem = Problem::new(vec![], vec![Window { table: &table, width: 1 }]).unwrap();
    let sided = SidedProblem::new(problem, Sides::default()).unwrap();
    assert_eq!(solve_program(&sided, 0, None), Err(ProgramError::NoCriterion));
}

#[test]
fn no_slots_and_no_pairs_are_answered_without_a_panic() {
    for (slots, items) in [(0, 0), (0, 3), (2, 0), (2, 1)] {
        let table = Table::from_fn(Shape { slots, items }, |_, _| Some(1)).unwrap();
        for measure in [Measure::Spread, Measure::Total, Measure::Greatest] {
            let criterion = Criterion { table: &table, measure, sense: Sense::Least, slack: 0 };
            let problem = Problem::new(vec![criterion], vec![]).unwrap();
            let sided = SidedProblem::new(problem, Sides::default()).unwrap();
            let outcome = solve_program(&sided, 0, None).unwrap();
            assert_eq!(matches!(outcome, ProgramOutcome::Impossible(_)), slots > 0, "{slots} {items}: {outcome:?}");
        }
    }
}

fn numbers(text: &str) -> Vec<i64> {
    text.split_whitespace().map(|word| word.parse().unwrap()).collect()
}

/// OR-Library gap1: jobs are slots, and every agent has an item for every job, so that a budget of the agent's capacity is
/// the only condition. Optima from `gapopt.csv`, file by file.
#[test]
fn generalised_assignment_reaches_the_published_optima() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../datasets/outside/orlib/");
    let optima = std::fs::read_to_string(format!("{folder}gapopt.csv")).unwrap();
    let optima = optima.lines().filter_map(|line| line.strip_prefix("gap1,")).map(|line| line.rsplit(',').next());
    let optima: Vec<i128> = optima.map(|value| value.unwrap().parse().unwrap()).collect();
    assert_eq!(optima.len(), 5);
    let all = numbers(&std::fs::read_to_string(format!("{folder}gap1.txt")).unwrap());
    let mut rest = &all[1..];
    let mut take = |count: usize| {
        let (head, tail) = rest.split_at(count);
        rest = tail;
        head
    };
    for optimum in optima {
        let size: Vec<usize> = take(2).iter().map(|&number| usize::try_from(number).unwrap()).collect();
        let (agents, jobs) = (size[0], size[1]);
        let (values, loads, capacities) = (take(agents * jobs), take(agents * jobs), take(agents));
        let shape = Shape { slots: jobs, items: agents * jobs };
        // Item agent·jobs + job is that agent for that job alone.
        let of = |numbers: &[i64], only: Option<usize>| {
            Table::from_fn(shape, |slot, item| {
                let (agent, job) = (item.index() / jobs, item.index() % jobs);
                let counts = only.is_none_or(|only| only == agent);
                (job == slot.index()).then(|| if counts { numbers[item.index()] } else { 0 })
            })
            .unwrap()
        };
        let value = of(values, None);
        let load: Vec<Table> = (0..agents).map(|agent| of(loads, Some(agent))).collect();
        let totals = load.iter().zip(capacities);
        let totals = totals.map(|(table, &most)| TotalLimit { table, least: None, most: Some(most.into()) }).collect();
        let criterion = Criterion { table: &value, measure: Measure::Total, sense: Sense::Most, slack: 0 };
        let problem = Problem::new(vec![criterion], vec![]).unwrap();
        let sided = SidedProblem::new(problem, Sides { totals, ..Sides::default() }).unwrap();
        match solve_program(&sided, 50, None).unwrap() {
            ProgramOutcome::BestFound { solution, bound, said } => {
                assert_eq!((said, solution.values[0]), (Said::Optimal, optimum));
                assert!(bound.criterion == 1 || bound.value >= optimum, "{bound:?}");
            }
            other => panic!("{optimum}: {other:?}"),
        }
    }
}
