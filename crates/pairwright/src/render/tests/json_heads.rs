//! JSON and CSV of a job with heads, gaskets and rods.

use serde_json::{Value, json};

use pairwright_engine::explain::Alternative;
use pairwright_engine::job::Job;
use pairwright_engine::outcome::{JobReport, Outcome, Planned};

use super::{sample, sample_block, sample_heads};
use crate::render::{match_csv, match_json};

fn parsed(job: &Job, report: &JobReport) -> Value {
    serde_json::from_str(&match_json(job, report)).expect("valid JSON")
}

fn planned(report: &JobReport) -> &Planned {
    match &report.matches[0].outcome {
        Outcome::Planned(planned) => planned,
        _ => panic!("there is a plan"),
    }
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

/// The same with `#` for every number that is not whole: what the engine computes is checked elsewhere.
fn shape(value: Value) -> Value {
    match value {
        Value::Number(number) if number.is_f64() => json!("#"),
        Value::Array(all) => all.into_iter().map(shape).collect(),
        Value::Object(all) => Value::Object(all.into_iter().map(|(key, value)| (key, shape(value))).collect()),
        other => other,
    }
}

fn pretty(value: Value) -> String {
    serde_json::to_string_pretty(&shape(value)).expect("JSON")
}

#[test]
fn whole_documents() {
    for (name, (job, report)) in
        [("heads_json", sample_heads::planned()), ("heads_impossible_json", sample_heads::impossible())]
    {
        insta::assert_snapshot!(name, pretty(parsed(&job, &report)));
    }
}

#[test]
fn tables() {
    for (name, (job, report)) in
        [("heads_csv", sample_heads::planned()), ("a_gasket_a_bank_csv", sample_heads::a_gasket_a_bank())]
    {
        // Masses may be whole; labels of positions and chambers have one digit.
        let number = |cell: &str| cell.len() > 1 && cell.parse::<f64>().is_ok();
        let row =
            |row: &str| row.split(',').map(|cell| if number(cell) { "#" } else { cell }).collect::<Vec<_>>().join(",");
        let rows: Vec<String> = match_csv(&job, &report).lines().map(row).collect();
        insta::assert_snapshot!(name, rows.join("\n"));
    }
}

#[test]
fn every_placement_names_a_part_of_every_role_its_chamber_and_its_fits() {
    for (name, job, report) in sample_block::all() {
        let document = parsed(&job, &report);
        let one = &document["matches"][0];
        let places = list(&one["placements"]);
        assert_eq!(places.len(), if one["outcome"] == "impossible" { 0 } else { 4 }, "{name}");
        for place in places {
            let from = place["comes_from"].as_object().expect("origins");
            for role in &job.matches[0].place {
                assert!(place["parts"][&role.kind].is_string(), "{name}: {}", role.kind);
                assert!(from.get(&role.kind).is_some_and(|from| from.is_string() || from.is_null()), "{name}");
            }
            // The left head sits as measured, the right one end for end.
            let chamber = if place["position"] == "1" || place["position"] == "4" { 1 } else { 2 };
            assert_eq!(place["chamber"], chamber, "{name}");
            let units = [("compression", "1"), ("clearance_volume", "cc"), ("piston_to_head", "in"), ("deck", "in")];
            for (fit, unit) in units {
                assert_eq!(place["fits"][fit]["unit"], unit, "{name}: {fit}");
            }
        }
    }
}

#[test]
fn the_setting_says_what_serves_which_bank_and_how_a_head_sits() {
    for (name, job, report) in sample_block::all() {
        let Outcome::Planned(planned) = &report.matches[0].outcome else { continue };
        let document = parsed(&job, &report);
        let one = &document["matches"][0];
        assert_eq!(list(&one["settings"]).len(), planned.plan.setting.served.len(), "{name}");
        for served in list(&one["settings"]) {
            let role = served["role"].as_str().expect("a role");
            let seat = match (role, served["bank"].as_str()) {
                ("head", Some("left")) => json!("as measured"),
                ("head", Some("right")) => json!("turned"),
                ("gasket", bank) => {
                    assert_eq!(bank.is_some(), job.matches[0].gasket_per_bank, "{name}");
                    Value::Null
                }
                other => panic!("{name}: {other:?}"),
            };
            assert_eq!(served["seat"], seat, "{name}");
            let here = |place: &&Value| served["bank"].is_null() || served["bank"] == place["bank"];
            let places: Vec<&Value> = list(&one["placements"]).iter().filter(here).collect();
            assert!(!places.is_empty() && places.iter().all(|place| place["parts"][role] == served["part"]), "{name}");
        }
    }
}

#[test]
fn the_mean_and_the_banks_are_those_of_the_placements() {
    for (name, job, report) in sample_block::all() {
        if !matches!(report.matches[0].outcome, Outcome::Planned(_)) {
            continue;
        }
        let document = parsed(&job, &report);
        let one = &document["matches"][0];
        let values = |bank: Option<&str>| -> Vec<f64> {
            let own = list(&one["placements"]).iter().filter(|place| bank.is_none_or(|bank| place["bank"] == bank));
            own.map(|place| place["fits"]["compression"]["value"].as_f64().expect("a number")).collect()
        };
        let close = |said: &Value, value: f64| (said["value"].as_f64().expect("a number") - value).abs() < 1e-6;
        let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
        assert!(close(&one["mean"], mean(&values(None))), "{name}");
        let banks = list(&one["banks"]);
        assert_eq!(banks.iter().map(|bank| &bank["name"]).collect::<Vec<_>>(), ["left", "right"], "{name}");
        for bank in banks {
            let own = values(bank["name"].as_str());
            assert!(close(&bank["mean"], mean(&own)), "{name}");
            let spread = own.iter().copied().fold(f64::MIN, f64::max) - own.iter().copied().fold(f64::MAX, f64::min);
            assert!(close(&bank["spread"], spread), "{name}");
            let expected = &bank["expected_spread"];
            assert!(expected["low"].as_f64() <= expected["high"].as_f64() && expected["unit"] == "1", "{name}");
        }
    }
}

#[test]
fn other_settings_and_what_leaves_it_uneven_are_all_told() {
    let (job, report) = sample_heads::planned();
    let known = &planned(&report).explanation;
    let document = parsed(&job, &report);
    let one = &document["matches"][0];
    let others = list(&one["other_settings"]);
    assert!(!others.is_empty() && others.len() == known.settings.len());
    for (other, known) in others.iter().zip(&known.settings) {
        assert_eq!(other["turned_about"], known.turned_about);
        assert_eq!(list(&other["settings"]).len(), known.served.len());
        let Alternative::Found { setting, parts, seconds, .. } = &known.plan else {
            assert!(other["plan"].is_null());
            continue;
        };
        let plan = &other["plan"];
        assert_eq!(list(&plan["settings"]).len(), setting.served.len());
        assert_eq!(plan["parts"]["1"], job.stocks[0].parts[parts[0]].id);
        assert_eq!(plan["other_parts"]["rod"]["4"], job.stocks[1].parts[seconds[3]].id);
        assert!(list(&other["settings"]).iter().all(|served| list(&plan["settings"]).contains(served)));
    }
    let names: Vec<&str> = list(&one["contributions"]).iter().filter_map(|one| one["ingredient"].as_str()).collect();
    assert_eq!(names.len(), known.contributions.len());
    assert!(["chamber", "deck", "dish"].iter().all(|name| names.contains(name)), "{names:?}");
    assert_eq!(one["contributions"][0]["spread"]["unit"], "1");
}

#[test]
fn parts_left_out_of_other_kinds_are_those_that_no_placement_has() {
    let (job, report) = sample_heads::planned();
    let document = parsed(&job, &report);
    let one = &document["matches"][0];
    for kind in ["rod", "head"] {
        let placed = |id: &str| list(&one["placements"]).iter().any(|place| place["parts"][kind] == id);
        let all = job.stock(kind).expect("a stock").parts.iter().map(|part| part.id.as_str());
        let spare: Vec<&str> = all.filter(|id| !placed(id)).collect();
        assert!(spare.len() == 1 && one["others_left_out"][kind] == json!(spare), "{spare:?}");
    }
    assert_eq!(one["others_left_out"].as_object().map(serde_json::Map::len), Some(2));
}

#[test]
fn parts_go_by_the_kind_that_varies_wherever_it_stands_in_place() {
    let (job, report) = sample_heads::a_gasket_a_bank();
    let document = parsed(&job, &report);
    let one = &document["matches"][0];
    assert_eq!(one["kind"], "piston");
    assert_eq!(one["place"][0], json!({ "role": "head", "scope": "bank" }));
    assert_eq!(one["place"][1], json!({ "role": "gasket", "scope": "bank" }));
    let mut named = vec![&one["left_out"][0]];
    for runner in list(&one["runners_up"]).iter().filter(|runner| !runner["plan"].is_null()) {
        named.push(&runner["part"]);
        named.extend(runner["plan"]["parts"].as_object().expect("parts").values());
    }
    named.extend(list(&one["steps"]).iter().flat_map(list).map(|step| &step["part"]));
    let pistons = ["A", "B", "C", "D", "E"];
    assert!(named.len() > 4 && named.iter().all(|label| pistons.iter().any(|id| *label == id)), "{named:?}");
}

#[test]
fn where_only_heads_are_placed_nothing_is_said_of_other_pistons() {
    let (job, report) = sample_block::heads_only();
    let document = parsed(&job, &report);
    let one = &document["matches"][0];
    assert_eq!(one["kind"], Value::Null);
    for key in ["left_out", "runners_up", "forced_in", "others", "steps"] {
        assert_eq!(one[key], json!([]), "{key}");
    }
    let plans: Vec<&Value> = list(&one["other_settings"]).iter().map(|other| &other["plan"]).collect();
    let found: Vec<&Value> = plans.into_iter().filter(|plan| !plan.is_null()).collect();
    assert!(!found.is_empty() && found.iter().all(|plan| plan["parts"] == json!({}) && plan["price"].is_object()));
    let because = ["low", "high"].map(|end| &one["ends"][end]["because"]);
    assert!(because.iter().all(|because| because["parts"].as_array().is_none_or(Vec::is_empty)), "{because:?}");
}

#[test]
fn a_rod_that_belongs_to_a_piston_is_named_with_every_plan() {
    let (job, report) = sample_block::mated();
    let document = parsed(&job, &report);
    let one = &document["matches"][0];
    let mates = json!({ "A": "R2", "B": "R1", "C": "R3", "D": "R5", "E": "R4" });
    let mate = |piston: &Value| &mates[piston.as_str().expect("a label")];
    for place in list(&one["placements"]) {
        assert_eq!(&place["parts"]["rod"], mate(&place["parts"]["piston"]));
    }
    let plans: Vec<&Value> = list(&one["runners_up"]).iter().map(|runner| &runner["plan"]).collect();
    let found: Vec<&Value> = plans.into_iter().filter(|plan| !plan.is_null()).collect();
    assert!(!found.is_empty());
    for plan in found {
        for (position, piston) in plan["parts"].as_object().expect("parts") {
            assert_eq!(&plan["other_parts"]["rod"][position], mate(piston));
        }
    }
}

#[test]
fn what_is_said_of_no_plan_names_its_setting() {
    let (job, mut report) = sample_heads::impossible();
    let (_, other) = sample_heads::planned();
    let before = parsed(&job, &report);
    let culprits = list(&before["matches"][0]["impossible"]["culprits"]).iter();
    let limits: Vec<&Value> = culprits.filter(|culprit| culprit["what"] == "limit").collect();
    assert!(!limits.is_empty() && limits.iter().all(|limit| list(&limit["settings"]).len() == 3));
    if let Outcome::Impossible(why) = &mut report.matches[0].outcome {
        why.setting = planned(&other).plan.setting.clone();
    }
    let said = &parsed(&job, &report)["matches"][0]["impossible"]["settings"];
    assert_eq!(*said, parsed(&job, &other)["matches"][0]["settings"]);
}

#[test]
fn pours_are_reported_as_readings_are() {
    let (job, report) = sample_block::poured();
    let document = parsed(&job, &report);
    let pours = &document["pours"];
    insta::assert_snapshot!("pours_json", pretty(pours.clone()));
    assert_eq!((&pours["findings"][0]["read"], &pours["findings"][0]["expected"]), (&json!(65.64), &json!(64.06)));
    assert_eq!((&pours["repeatability"]["value"], &pours["resolution"]["value"]), (&json!(0.037), &json!(0.05)));
    assert_eq!(document["readings"], Value::Null);
    let of = |at: usize| [&pours["findings"][at]["head"], &pours["findings"][at]["chamber"]];
    assert_eq!(of(0), [&json!("H2"), &json!(2)]);
    // Lines 2 and 5 are of two chambers of one head, line 99 of none.
    assert_eq!(of(5), [&Value::Null; 2]);
    assert_eq!(of(8), [&Value::Null; 2]);
    let (job, report) = sample::full();
    assert_eq!(parsed(&job, &report)["pours"], Value::Null);
}

#[test]
fn a_table_has_a_column_a_role_and_the_chamber_only_with_heads() {
    for (name, job, report) in sample_block::all() {
        let text = match_csv(&job, &report);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let header = reader.headers().expect("a header").clone();
        let at = |column: &str| header.iter().position(|known| known == column);
        let rows: Vec<_> = reader.records().collect::<Result<_, _>>().expect("rows as long as the header");
        let document = parsed(&job, &report);
        let places = list(&document["matches"][0]["placements"]);
        assert_eq!(rows.len(), places.len(), "{name}");
        for (row, place) in rows.iter().zip(places) {
            let cell = |column: &str| &row[at(column).unwrap_or_else(|| panic!("{name}: {column}"))];
            for role in &job.matches[0].place {
                assert_eq!(cell(&role.kind), place["parts"][&role.kind], "{name}");
                let from = place["comes_from"][&role.kind].as_str().unwrap_or("spare");
                assert_eq!(cell(&format!("{}_comes_from", role.kind)), from, "{name}");
            }
            assert_eq!(cell("chamber"), place["chamber"].to_string(), "{name}");
            let compression = cell("compression").parse::<f64>().ok();
            assert_eq!(compression, place["fits"]["compression"]["value"].as_f64(), "{name}");
            assert!(!cell("clearance_volume_cc").is_empty() && !cell("piston_to_head_in").is_empty(), "{name}");
        }
    }
    let (job, report) = sample::full();
    assert!(!match_csv(&job, &report).contains("chamber"));
}
