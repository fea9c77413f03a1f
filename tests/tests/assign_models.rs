//! The same problems as linear models for a general solver: `microlp` through `good_lp`.
//!
//! - The linear relaxation of an assignment has whole-numbered corners (Birkhoff 1946; cited from memory), so its
//!   least total is that of the assignment.
//! - Least spread as a 0/1 model: x of a pair is 0 or 1, every slot one item, every item at most once, the value of
//!   every slot between L and U; U − L is to be least.

use good_lp::{
    Expression, ProblemVariables, Solution, SolverModel, Variable, constraint, microlp, variable, variables,
};
use pairwright_assign::{Criterion, Measure, Outcome, Problem, Sense, Shape, Table, solve};

/// A table from a seed by `SplitMix64` (Steele, Lea and Flood 2014; constants from memory).
fn table(shape: Shape, seed: u64, range: u64) -> Table {
    let mut state = seed;
    Table::from_fn(shape, |_, _| {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        i64::try_from((mixed ^ (mixed >> 31)) % range).ok()
    })
    .expect("small values")
}

fn best(table: &Table, measure: Measure) -> i128 {
    let criterion = Criterion { table, measure, sense: Sense::Least, slack: 0 };
    match solve(&Problem::new(vec![criterion], vec![]).expect("one table")) {
        Outcome::Proven(solution) => solution.values[0],
        other => panic!("one criterion is exact: {other:?}"),
    }
}

/// One variable a pair, slot after slot.
fn pairs(model: &mut ProblemVariables, shape: Shape, whole: bool) -> Vec<Vec<Variable>> {
    let one = || {
        if whole { variable().binary() } else { variable().min(0).max(1) }
    };
    let mut row = || (0..shape.items).map(|_| model.add(one())).collect();
    (0..shape.slots).map(|_| row()).collect()
}

/// One item a slot, at most one slot an item.
fn assign<M: SolverModel>(model: &mut M, pairs: &[Vec<Variable>], items: usize) {
    for row in pairs {
        model.add_constraint(constraint!(row.iter().sum::<Expression>() == 1));
    }
    for item in 0..items {
        let column = pairs.iter().map(|row| row[item]).sum::<Expression>();
        model.add_constraint(constraint!(column <= 1));
    }
}

/// Σ value · x over the pairs of every slot.
fn slot_values(table: &Table, pairs: &[Vec<Variable>]) -> Vec<Expression> {
    let rows = table.slots().zip(pairs);
    rows.map(|(slot, row)| table.row(slot).iter().zip(row).map(|(&value, &pair)| value as f64 * pair).sum()).collect()
}

#[test]
fn the_linear_relaxation_of_a_total_is_whole() {
    let shapes = [Shape { slots: 6, items: 6 }, Shape { slots: 8, items: 12 }, Shape { slots: 15, items: 20 }];
    for (seed, shape) in (1..).zip(shapes) {
        let table = table(shape, seed, 1000);
        variables! { model: }
        let pairs = pairs(&mut model, shape, false);
        let total: Expression = slot_values(&table, &pairs).into_iter().sum();
        let mut model = model.minimise(total.clone()).using(microlp);
        assign(&mut model, &pairs, shape.items);
        let relaxed = model.solve().unwrap().eval(total);
        let least = best(&table, Measure::Total) as f64;
        assert!((relaxed - least).abs() < 1e-6, "{relaxed} and {least} for seed {seed}");
    }
}

#[test]
fn least_spread_as_a_whole_numbered_model() {
    let shapes = [
        Shape { slots: 4, items: 4 },
        Shape { slots: 4, items: 8 },
        Shape { slots: 5, items: 7 },
        Shape { slots: 6, items: 6 },
        Shape { slots: 8, items: 8 },
    ];
    for (seed, shape) in (1..).zip(shapes) {
        let table = table(shape, seed, 100);
        variables! { model: 0 <= low; 0 <= high; }
        let pairs = pairs(&mut model, shape, true);
        let mut model = model.minimise(high - low).using(microlp);
        assign(&mut model, &pairs, shape.items);
        for value in slot_values(&table, &pairs) {
            model.add_constraint(constraint!(value.clone() >= low));
            model.add_constraint(constraint!(value <= high));
        }
        let solution = model.solve().unwrap();
        // Its word is in floats: take its choice, and reckon the spread again in whole numbers.
        let chosen: Vec<i64> = table
            .slots()
            .zip(&pairs)
            .map(|(slot, row)| {
                let at = row.iter().position(|&pair| solution.value(pair) > 0.5).unwrap();
                table.row(slot)[at]
            })
            .collect();
        let spread = chosen.iter().max().unwrap() - chosen.iter().min().unwrap();
        assert_eq!(best(&table, Measure::Spread), i128::from(spread), "seed {seed}");
    }
}
