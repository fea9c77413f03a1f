//! Textbook matrices with known answers: `datasets/outside/assignment/small.json`, sources in its `SOURCE.md`.

use pairwright_assign::{Criterion, Measure, Outcome, Problem, Sense, Shape, Slot, Table, solve};
use serde_json::Value;
use std::path::Path;

struct Case {
    id: String,
    table: Table,
    known: Value,
}

fn cases() -> Vec<Case> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let file = root.join("../datasets/outside/assignment/small.json");
    let text = std::fs::read_to_string(file).expect("the data file");
    let all: Value = serde_json::from_str(&text).expect("JSON");
    let cases = all["cases"].as_array().expect("a list of cases");
    let case = |known: &Value| Case { id: known["id"].to_string(), table: table(known), known: known.clone() };
    cases.iter().map(case).collect()
}

/// The cost matrix, turned so that the shorter side is the slots.
fn table(known: &Value) -> Table {
    let rows = known["cost"].as_array().expect("rows");
    let (height, width) = (rows.len(), rows[0].as_array().expect("a row").len());
    let (slots, items) = (height.min(width), height.max(width));
    Table::from_fn(Shape { slots, items }, |slot, item| {
        let (slot, item) = (slot.index(), item.index());
        let (row, column) = if height <= width { (slot, item) } else { (item, slot) };
        rows[row][column].as_i64()
    })
    .expect("small numbers")
}

fn criterion(table: &Table, measure: Measure, sense: Sense) -> Criterion<'_> {
    Criterion { table, measure, sense, slack: 0 }
}

fn values(criteria: Vec<Criterion<'_>>) -> Vec<i128> {
    match solve(&Problem::new(criteria, vec![]).expect("one shape")) {
        Outcome::Proven(solution) => solution.values,
        other => panic!("chains without slack are exact: {other:?}"),
    }
}

/// The totals, up to `most`, of all choices, ascending: the best choice, then what is left when it is taken apart
/// pair by pair (Murty 1968).
fn totals(problem: &Problem<'_>, most: i128) -> Vec<i128> {
    let Outcome::Proven(best) = solve(problem) else {
        return Vec::new();
    };
    if best.values[0] > most {
        return Vec::new();
    }
    let mut all = vec![best.values[0]];
    let mut rest = problem.clone();
    for (slot, item) in best.choice.pairs() {
        let without = rest.clone().forbid(slot, item).expect("a pair of the table");
        all.extend(totals(&without, most));
        rest = rest.force(slot, item).expect("a pair of the table");
    }
    all.sort_unstable();
    all
}

#[test]
fn least_and_greatest_total_worst_cost_and_range() {
    let goals = [
        ("min_sum", Measure::Total, Sense::Least),
        ("max_sum", Measure::Total, Sense::Most),
        ("bottleneck", Measure::Greatest, Sense::Least),
        ("balanced_range", Measure::Spread, Sense::Least),
    ];
    let cases = cases();
    assert!(cases.len() >= 9);
    for case in &cases {
        for (name, measure, sense) in goals {
            let known = case.known[name].as_i64().unwrap();
            let found = values(vec![criterion(&case.table, measure, sense)]);
            assert_eq!(found, [i128::from(known)], "{name} of {}", case.id);
        }
    }
}

#[test]
fn number_of_optima_and_the_best_totals() {
    let mut compared = 0;
    for case in cases() {
        let Some(best) = case.known["best_sums"].as_array() else {
            continue;
        };
        let best: Vec<i128> = best.iter().filter_map(Value::as_i64).map(i128::from).collect();
        let least = criterion(&case.table, Measure::Total, Sense::Least);
        let problem = Problem::new(vec![least], vec![]).unwrap();
        let totals = totals(&problem, *best.last().unwrap());
        assert_eq!(totals[..best.len()], best, "{}", case.id);
        let optimal = totals.iter().filter(|&&total| total == best[0]).count();
        assert_eq!(Some(optimal as u64), case.known["n_optimal"].as_u64(), "{}", case.id);
        compared += 1;
    }
    assert!(compared >= 8);
}

/// Costs sorted largest first, lexicographically smallest: fewest of the largest cost, then fewest of the next, …
#[test]
fn lexicographic_bottleneck_as_one_long_chain() {
    let mut compared = 0;
    for case in cases() {
        let Some(known) = case.known["leximin_sorted_costs"].as_array() else {
            continue;
        };
        let known: Vec<i64> = known.iter().filter_map(Value::as_i64).collect();
        let cells = case.table.slots().flat_map(|slot| case.table.row(slot).to_vec());
        let mut costs: Vec<i64> = cells.filter(|&cost| cost != Table::FORBIDDEN).collect();
        costs.sort_unstable();
        costs.dedup();
        costs.reverse();
        let count = |&cost: &i64| {
            let is = |slot: Slot, item| case.table.get(slot, item).map(|value| i64::from(value == cost));
            Table::from_fn(case.table.shape(), is).unwrap()
        };
        let counts: Vec<Table> = costs.iter().map(count).collect();
        let chain = counts.iter().map(|count| criterion(count, Measure::Total, Sense::Least));
        let times = values(chain.collect()).into_iter().map(|times| usize::try_from(times).unwrap());
        let found: Vec<i64> = costs.iter().zip(times).flat_map(|(&cost, times)| vec![cost; times]).collect();
        assert_eq!(found, known, "{}", case.id);
        compared += 1;
    }
    assert!(compared >= 8);
}
