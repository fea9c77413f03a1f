//! Where the value of a pair is a difference of two sizes, pairing in sorted order is best for the range, the worst
//! deviation and the squares at once (Hardy, Littlewood and Pólya 1934). Figures: `datasets/outside/assignment`.

use pairwright_assign::{Criterion, Measure, Outcome, Problem, Sense, Shape, Table, solve};
use proptest::prelude::*;
use serde_json::Value;
use std::path::Path;

fn differences(holes: &[i64], pins: &[i64]) -> Table {
    let shape = Shape { slots: holes.len(), items: pins.len() };
    Table::from_fn(shape, |slot, item| Some(holes[slot.index()] - pins[item.index()])).expect("small sizes")
}

fn best(table: &Table, measure: Measure, sense: Sense) -> i128 {
    let criterion = Criterion { table, measure, sense, slack: 0 };
    match solve(&Problem::new(vec![criterion], vec![]).expect("one table")) {
        Outcome::Proven(solution) => solution.values[0],
        other => panic!("one criterion is exact: {other:?}"),
    }
}

fn numbers(value: &Value) -> Vec<i64> {
    value.as_array().expect("a list").iter().filter_map(Value::as_i64).collect()
}

#[test]
fn four_cases_computed_elsewhere() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let file = root.join("../datasets/outside/assignment/sorted_pairing.json");
    let all: Value = serde_json::from_str(&std::fs::read_to_string(file).unwrap()).unwrap();
    let cases = all["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 4);
    for case in cases {
        let table = differences(&numbers(&case["bore_um"]), &numbers(&case["piston_um"]));
        let target = case["target_clearance_um"].as_i64().unwrap();
        let known = |name: &str| i128::from(case[name].as_i64().unwrap());
        let squares = Measure::SquaresFrom { target };
        let worst = Measure::WorstFrom { target };
        assert_eq!(best(&table, squares, Sense::Least), known("min_sum_sq_dev"));
        assert_eq!(best(&table, squares, Sense::Most), known("worst_sum_sq_dev"));
        assert_eq!(best(&table, worst, Sense::Least), known("min_worst_dev"));
        assert_eq!(best(&table, Measure::Spread, Sense::Least), known("min_range"));

        let window = numbers(&case["window_um"]);
        let outside = Table::from_fn(table.shape(), |slot, item| {
            let inside = |value| (window[0]..=window[1]).contains(&value);
            table.get(slot, item).map(|value| i64::from(!inside(value)))
        })
        .unwrap();
        let slots = i128::try_from(table.shape().slots).unwrap();
        let inside = slots - best(&outside, Measure::Total, Sense::Least);
        assert_eq!(inside, known("max_pairs_in_window"));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn prop_sorted_pairing_is_never_beaten_and_always_reached(
        (mut holes, mut pins) in (1_usize..14).prop_flat_map(|count| {
            let sizes = || prop::collection::vec(-500_i64..500, count);
            (sizes(), sizes())
        }),
        target in -200_i64..200,
    ) {
        let table = differences(&holes, &pins);
        holes.sort_unstable();
        pins.sort_unstable();
        let pairs = holes.iter().zip(&pins);
        let sorted: Vec<i128> = pairs.map(|(hole, pin)| i128::from(hole - pin)).collect();
        let from = |value: &i128| value - i128::from(target);
        let total: i128 = sorted.iter().sum();
        let count = i128::try_from(sorted.len()).unwrap();
        let range = sorted.iter().max().unwrap() - sorted.iter().min().unwrap();
        let about_mean = count * sorted.iter().map(|value| value * value).sum::<i128>() - total * total;
        let worst = sorted.iter().map(|value| from(value).abs()).max().unwrap();
        let squares: i128 = sorted.iter().map(|value| from(value).pow(2)).sum();

        prop_assert_eq!(best(&table, Measure::Spread, Sense::Least), range);
        prop_assert_eq!(best(&table, Measure::SquaresAboutMean, Sense::Least), about_mean);
        prop_assert_eq!(best(&table, Measure::WorstFrom { target }, Sense::Least), worst);
        prop_assert_eq!(best(&table, Measure::SquaresFrom { target }, Sense::Least), squares);
    }
}
