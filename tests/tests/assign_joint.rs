//! Two kinds chosen together, beside others' answers.
//!
//! - Axial three-index assignments: `datasets/outside/assignment/three_index.json`, sources in its `SOURCE.md`. A
//!   general cost of (slot, item, item) is stated by numbering pairs of items in the sum and looking the cost up.
//! - Least spread as a 0/1 model of triples, by `microlp` through `good_lp`.

use good_lp::{
    Expression, ProblemVariables, Solution, SolverModel, Variable, constraint, microlp, variable, variables,
};
use pairwright_assign::{
    Budget, Couple, Item, JointAim, JointOutcome, JointProblem, JointSolution, JointStatement, Outer, Scale, Shape,
    Slot, Table, prove_joint, solve_joint,
};
use pairwright_proof::{check_joint, verify_joint};
use serde_json::Value;
use std::path::Path;

fn proven(statement: JointStatement<'_>, aim: JointAim) -> JointSolution {
    let problem = JointProblem::new(statement, aim).expect("parts that fit");
    match solve_joint(&problem, &Budget::default()).expect("small numbers") {
        JointOutcome::Proven(solution) => solution,
        other => panic!("no budget can end: {other:?}"),
    }
}

#[test]
fn least_totals_of_three_index_assignments() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let file = root.join("../datasets/outside/assignment/three_index.json");
    let all: Value = serde_json::from_str(&std::fs::read_to_string(file).expect("the data file")).expect("JSON");
    let cases = all["cases"].as_array().expect("a list of cases");
    assert_eq!(cases.len(), 4);
    for case in cases {
        let n = usize::try_from(case["n"].as_u64().expect("a size")).expect("a small size");
        let shape = Shape { slots: n, items: n };
        let step = i64::try_from(n).expect("a small size");
        let first = Table::from_fn(shape, |_, item| Some(step * i64::from(item.number()))).expect("small numbers");
        let second = Table::from_fn(shape, |_, item| Some(i64::from(item.number()))).expect("small numbers");
        let cost = |slot: Slot, sum: i64| {
            let at = |number: i64| usize::try_from(number).ok();
            case["cost"][slot.index()][at(sum / step)?][at(sum % step)?].as_i64()
        };
        let offsets = [vec![0; n]];
        let statement = JointStatement {
            first: &first,
            second: &second,
            barred: &[],
            offsets: &offsets,
            scale: Scale::Map(&cost),
            beside: None,
        };
        let solution = proven(statement, JointAim::Total);
        assert_eq!(Some(solution.value), case["min_sum"].as_i64().map(i128::from), "n = {n}");
        check_joint(&statement, JointAim::Total.measure(), &solution.choice, solution.value).expect("a choice");
    }
}

/// Numbers from a seed by `SplitMix64` (Steele, Lea and Flood 2014; constants from memory).
fn numbers(seed: u64, count: usize, range: u64) -> Vec<i64> {
    let mut state = seed;
    let mut next = || {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        i64::try_from((mixed ^ (mixed >> 31)) % range).expect("below the range")
    };
    (0..count).map(|_| next()).collect()
}

type Triples = Vec<(Slot, Couple, i64, Variable)>;

/// One variable a triple of an outer choice, and the constraints that make a choice of them.
fn triples(model: &mut ProblemVariables, statement: &JointStatement<'_>, outer: Outer) -> Triples {
    let mut all = Vec::new();
    for slot in statement.first.slots() {
        for (first, second) in
            statement.first.items().flat_map(|first| statement.second.items().map(move |second| (first, second)))
        {
            let items = Couple { first, second };
            if let Some(value) = statement.sum(outer, slot, items).filter(|_| !statement.barred.contains(&items)) {
                all.push((slot, items, value, model.add(variable().binary())));
            }
        }
    }
    all
}

/// The least spread under one outer choice, reckoned again in whole numbers from the model's choice.
fn modelled(statement: &JointStatement<'_>, outer: Outer) -> i64 {
    variables! { model: low; high; }
    let triples = triples(&mut model, statement, outer);
    let sum = |own: &dyn Fn(Slot, Couple) -> bool| -> Expression {
        triples.iter().filter(|(slot, items, _, _)| own(*slot, *items)).map(|&(_, _, _, picked)| picked).sum()
    };
    let mut solver = model.minimise(high - low).using(microlp);
    for slot in statement.first.slots() {
        solver.add_constraint(constraint!(sum(&|own, _| own == slot) == 1));
        let own = triples.iter().filter(|triple| triple.0 == slot);
        let value: Expression = own.map(|&(_, _, value, picked)| value as f64 * picked).sum();
        solver.add_constraint(constraint!(value.clone() >= low));
        solver.add_constraint(constraint!(value <= high));
    }
    for item in (0..8).map(Item::new) {
        solver.add_constraint(constraint!(sum(&|_, items| items.first == item) <= 1));
        solver.add_constraint(constraint!(sum(&|_, items| items.second == item) <= 1));
    }
    let solution = solver.solve().expect("a model with a solution");
    let picked = triples.iter().filter(|triple| solution.value(triple.3) > 0.5);
    let values: Vec<i64> = picked.map(|triple| triple.2).collect();
    assert_eq!(values.len(), statement.slots());
    values.iter().max().expect("a slot") - values.iter().min().expect("a slot")
}

#[test]
fn least_spread_as_a_whole_numbered_model() {
    for (seed, (slots, firsts, seconds)) in (1..).zip([(2, 3, 3), (3, 3, 3), (3, 4, 3), (3, 4, 4), (4, 4, 4)]) {
        let table = |seed, items| {
            let effects = numbers(seed, items, 60);
            Table::from_fn(Shape { slots, items }, |_, item| Some(effects[item.index()])).expect("small numbers")
        };
        let (first, second) = (table(10 * seed, firsts), table(10 * seed + 1, seconds));
        let barred = [Couple { first: Item::new(0), second: Item::new(1) }];
        let offsets: Vec<Vec<i64>> = (0..2).map(|outer| numbers(100 * seed + outer, slots, 60)).collect();
        let statement = JointStatement {
            first: &first,
            second: &second,
            barred: &barred,
            offsets: &offsets,
            scale: Scale::Sum,
            beside: None,
        };
        let least = (0..2).map(|outer| modelled(&statement, Outer::new(outer))).min();
        let solution = proven(statement, JointAim::Spread);
        assert_eq!(least.map(i128::from), Some(solution.value), "seed {seed}");

        let problem = JointProblem::new(statement, JointAim::Spread).expect("parts that fit");
        let proof = prove_joint(&problem, solution.value, &Budget::default()).expect("a least spread");
        let measure = JointAim::Spread.measure();
        assert_eq!(verify_joint(&statement, measure, &solution.choice, solution.value, &proof), Ok(()));
    }
}
