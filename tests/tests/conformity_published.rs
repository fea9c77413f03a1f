//! The chance of being inside a limit, against the worked examples of a standard.

use pairwright_engine::statistics::normal_cdf;
use serde_json::Value;

/// JCGM 106:2012, section 7: 509.7 kPa, u 8.6, at least 490; −5.47 V, u 0.05, at most −5.40; 13.6, u 1.8, between
/// 12.5 and 16.3. Inputs and printed chances (0.989, 0.919, 0.66) are from memory, the chances recomputed; see
/// `datasets/outside/statistics/SOURCE.md`.
#[test]
fn the_chance_of_conformity() {
    let text = include_str!("../../datasets/outside/statistics/conformity.json");
    let data: Value = serde_json::from_str(text).expect("JSON");
    let examples = data["examples"].as_array().expect("examples");
    assert_eq!(examples.len(), 3);
    for example in examples {
        let input = |name: &str| example["inputs"][name].as_f64();
        let (y, u) = input("y").zip(input("u")).expect("a value and its uncertainty");
        let below = |bound: Option<f64>, open: f64| bound.map_or(open, |bound| normal_cdf((bound - y) / u));
        let chance = below(input("upper"), 1.0) - below(input("lower"), 0.0);
        let computed = example["conformance_probability"].as_f64().expect("computed");
        assert!((chance - computed).abs() < 1e-10, "{chance} {example}");
        let printed = example["printed_as_remembered"].as_f64().expect("printed");
        assert!((chance - printed).abs() <= 0.005, "{example}");
    }
}
