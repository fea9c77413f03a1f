//! JSON: its keys, and that numbers are whole.

use serde_json::Value;

use super::sample;
use crate::render::match_json;

fn parsed() -> impl Iterator<Item = (&'static str, Value)> {
    sample::all()
        .into_iter()
        .map(|(name, job, report)| (name, serde_json::from_str(&match_json(&job, &report)).expect("valid JSON")))
}

#[test]
fn a_plan_and_no_plan() {
    let (job, report) = sample::full();
    insta::assert_snapshot!("plan_json", match_json(&job, &report));
    let (job, report) = sample::impossible();
    insta::assert_snapshot!("impossible_json", match_json(&job, &report));
}

#[test]
fn every_document_has_the_promised_keys() {
    for (name, document) in parsed() {
        assert_eq!(document["format"], 1, "{name}");
        assert!(document["job"]["title"].is_string() && document["job"]["units"] == "in", "{name}");
        assert!(document["cautions"].as_array().is_some_and(|all| all.iter().all(Value::is_string)), "{name}");
        for one in document["matches"].as_array().expect("matches") {
            let keys = [
                "name",
                "aim",
                "outcome",
                "spread",
                "expected_spread",
                "as_found",
                "placements",
                "left_out",
                "limits",
                "runners_up",
                "forced_in",
                "others",
                "flagged_out",
                "steps",
                "other_steps",
                "nominal_plan",
                "impossible",
                "missing",
                "chance_all_hold",
                "total",
                "moves",
                "ends",
            ];
            for key in keys {
                assert!(one.get(key).is_some(), "{name}: {key}");
            }
            let outcomes = ["proven", "best found", "impossible", "missing"];
            assert!(outcomes.iter().any(|outcome| one["outcome"] == *outcome), "{name}");
            placements(name, &one["placements"]);
            placements(name, &one["nominal_plan"]["placements"]);
        }
    }
}

fn placements(name: &str, placements: &Value) {
    for place in placements.as_array().into_iter().flatten() {
        assert!(place["position"].is_string() && place["bank"].is_string(), "{name}");
        assert!(place["parts"]["piston"].is_string(), "{name}");
        for (fit, value) in place["fits"].as_object().expect("fits") {
            for key in ["value", "u", "low", "high"] {
                assert!(value[key].is_f64(), "{name}: {fit} {key}");
            }
            assert!(value["unit"].is_string(), "{name}: {fit}");
        }
    }
}

#[test]
fn deck_keeps_its_sign_and_all_its_digits() {
    let (job, mut report) = sample::full();
    if let pairwright_engine::outcome::Outcome::Planned(planned) = &mut report.matches[0].outcome {
        planned.plan.placements[0].fits[0].estimate.value = -104_141;
    }
    let document: Value = serde_json::from_str(&match_json(&job, &report)).expect("valid JSON");
    let place = &document["matches"][0]["placements"][0];
    let value = place["fits"]["deck"]["value"].as_f64().expect("a number");
    assert!(value < -0.0041);
    #[expect(clippy::cast_possible_truncation, reason = "a small number of ticks")]
    let ticks = (value * 25_400_000.0).round() as i64;
    assert_eq!(ticks, -104_141);
    assert_eq!(document["matches"][0]["placements"][2]["fits"]["deck"]["value"], 0.0012);
    assert_eq!(place["comes_from"]["piston"], Value::Null);
}

#[test]
fn a_plan_at_face_value_is_never_the_plan() {
    let (job, report) = sample::impossible();
    let document: Value = serde_json::from_str(&match_json(&job, &report)).expect("valid JSON");
    let one = &document["matches"][0];
    assert_eq!(one["outcome"], "impossible");
    assert_eq!(one["placements"], Value::Array(Vec::new()));
    assert_eq!(one["spread"], Value::Null);
    assert_eq!(one["nominal_plan"]["placements"].as_array().map(Vec::len), Some(4));
    assert_eq!(one["nominal_plan"]["limits"][0]["state"], "nominal");
}

#[test]
fn a_total_stands_beside_the_spread_where_it_is_the_aim() {
    let (job, report) = sample::several();
    let document: Value = serde_json::from_str(&match_json(&job, &report)).expect("valid JSON");
    assert_eq!(document["matches"][1]["total"], Value::Null);
    assert_eq!(document["matches"][2]["total"]["value"], -0.0033);
    assert_eq!(document["matches"][2]["spread"]["value"], 0.0);
    assert_eq!(document["matches"][2]["outcome"], "best found");
}

#[test]
fn what_is_not_finite_is_null() {
    let (job, mut report) = sample::full();
    if let pairwright_engine::outcome::Outcome::Planned(planned) = &mut report.matches[0].outcome {
        planned.plan.placements[0].fits[0].estimate.u = f64::NAN;
        planned.plan.chance_all_hold = Some(f64::INFINITY);
    }
    let document: Value = serde_json::from_str(&match_json(&job, &report)).expect("valid JSON");
    assert_eq!(document["matches"][0]["placements"][0]["fits"]["deck"]["u"], Value::Null);
    assert_eq!(document["matches"][0]["placements"][0]["fits"]["mass"]["dof"], Value::Null);
}
