//! The same problems as linear models for a general solver: `microlp` through `good_lp`.
//!
//! - The linear relaxation of an assignment has whole-numbered corners (Birkhoff 1946; cited from memory), so its
//!   least total is that of the assignment.
//! - Least spread as a 0/1 model: x of a pair is 0 or 1, every slot one item, every item at most once, the value of
//!   every slot between L and U; U − L is to be least.

use good_lp::variable::UnsolvedProblem;
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

fn relaxed_total<M: SolverModel>(table: &Table, solver: impl Fn(UnsolvedProblem) -> M) -> f64 {
    variables! { model: }
    let pairs = pairs(&mut model, table.shape(), false);
    let total: Expression = slot_values(table, &pairs).into_iter().sum();
    let mut model = solver(model.minimise(total.clone()));
    assign(&mut model, &pairs, table.shape().items);
    model.solve().expect("a choice exists").eval(total)
}

/// The spread of the model's choice. The word of a backend is in floats: its choice is taken, and reckoned again in
/// whole numbers.
fn modelled_spread<M: SolverModel>(table: &Table, solver: impl Fn(UnsolvedProblem) -> M) -> i128 {
    variables! { model: 0 <= low; 0 <= high; }
    let pairs = pairs(&mut model, table.shape(), true);
    let mut model = solver(model.minimise(high - low));
    assign(&mut model, &pairs, table.shape().items);
    for value in slot_values(table, &pairs) {
        model.add_constraint(constraint!(value.clone() >= low));
        model.add_constraint(constraint!(value <= high));
    }
    let solution = model.solve().expect("a choice exists");
    let value = |(slot, row): (_, &Vec<Variable>)| {
        let at = row.iter().position(|&pair| solution.value(pair) > 0.5).expect("one item a slot");
        table.row(slot)[at]
    };
    let chosen: Vec<i64> = table.slots().zip(&pairs).map(value).collect();
    i128::from(chosen.iter().max().expect("a slot") - chosen.iter().min().expect("a slot"))
}

fn totals_agree<M: SolverModel>(solver: impl Fn(UnsolvedProblem) -> M) {
    let shapes = [Shape { slots: 6, items: 6 }, Shape { slots: 8, items: 12 }, Shape { slots: 15, items: 20 }];
    for (seed, shape) in (1..).zip(shapes) {
        let table = table(shape, seed, 1000);
        let (relaxed, least) = (relaxed_total(&table, &solver), best(&table, Measure::Total) as f64);
        assert!((relaxed - least).abs() < 1e-6, "{relaxed} and {least} for seed {seed}");
    }
}

fn spreads_agree<M: SolverModel>(shapes: &[(usize, usize)], solver: impl Fn(UnsolvedProblem) -> M) {
    for (seed, &(slots, items)) in (1..).zip(shapes) {
        let table = table(Shape { slots, items }, seed, 100);
        assert_eq!(best(&table, Measure::Spread), modelled_spread(&table, &solver), "seed {seed}");
    }
}

#[test]
fn the_linear_relaxation_of_a_total_is_whole() {
    totals_agree(microlp);
}

#[test]
fn least_spread_as_a_whole_numbered_model() {
    spreads_agree(&[(4, 4), (4, 8), (5, 7), (6, 6), (8, 8)], microlp);
}

/// The same with HiGHS, in sizes that take the other backend too long.
#[cfg(feature = "highs")]
mod with_highs {
    use super::{spreads_agree, totals_agree};
    use good_lp::solvers::highs::HighsProblem;
    use good_lp::variable::UnsolvedProblem;

    /// It stops at a relative gap of 1e-4 by itself.
    fn exact(problem: UnsolvedProblem) -> HighsProblem {
        good_lp::highs(problem).set_mip_rel_gap(0.0).expect("0 is a gap")
    }

    #[test]
    fn the_linear_relaxation_of_a_total_is_whole() {
        totals_agree(exact);
    }

    #[test]
    fn least_spread_as_a_whole_numbered_model() {
        spreads_agree(&[(4, 4), (4, 8), (5, 7), (6, 6), (8, 8), (8, 24), (12, 12)], exact);
    }
}
