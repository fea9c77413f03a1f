//! The demo of a twin-cam four whose valves are shimmed from the shelf and from the shop.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use pairwright::Exit;
use pairwright_tests::folder::{folder, pairwright};
use pathfinding::prelude::{Matrix, kuhn_munkres_min};
use serde_json::Value;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets/wren-shims")
}

/// The rows of a CSV file of the demo, without its header.
fn rows(name: &str) -> Vec<Vec<String>> {
    let text = std::fs::read_to_string(demo().join(name)).expect("there");
    text.lines().skip(1).map(|line| line.split(',').map(str::to_owned).collect()).collect()
}

fn number(cell: &str) -> f64 {
    cell.parse().expect("a number")
}

/// Lash after, and whether it stays inside both limits by 1.96 standard uncertainties (those of the job file).
fn lash(valve: &[String], shim: &[String]) -> (f64, bool) {
    let value = number(&valve[2]) + number(&valve[3]) - number(&shim[1]);
    let own: f64 = if shim[5].is_empty() { 0.002 } else { number(&shim[5]) };
    let band = 1.959_964 * (0.005_f64.powi(2) + 0.002_f64.powi(2) + own.powi(2)).sqrt();
    (value, value - band >= number(&valve[5]) && value + band <= number(&valve[6]))
}

fn price(shim: &[String]) -> f64 {
    if shim[4].is_empty() { 0.0 } else { number(&shim[4]) }
}

/// The least that it costs to bring every valve inside its limits, by the Hungarian method of `pathfinding`.
#[expect(clippy::cast_possible_truncation, reason = "prices are a few thousand hundredths")]
fn cheapest(valves: &[Vec<String>], shims: &[Vec<String>]) -> i64 {
    let copies = |shim: &[String]| match shim[3].as_str() {
        "" => 1,
        "any" => valves.len(),
        count => count.parse().expect("a count"),
    };
    let pieces: Vec<_> = shims.iter().flat_map(|shim| std::iter::repeat_n(shim, copies(shim))).collect();
    let cost = |(valve, piece): (usize, usize)| match lash(&valves[valve], pieces[piece]) {
        (_, true) => (price(pieces[piece]) * 100.0).round() as i64,
        (_, false) => 1_000_000_000,
    };
    kuhn_munkres_min(&Matrix::from_fn(valves.len(), pieces.len(), cost)).0
}

fn found(options: &[&str]) -> Value {
    let ran = pairwright("match", &demo(), options);
    assert_eq!(ran.exit, Exit::Done, "{ran:?}");
    let value: Value = serde_json::from_str(&ran.out).expect("JSON");
    value["matches"][0].clone()
}

#[test]
fn the_demo_is_as_cheap_as_can_be_and_holds_every_limit() {
    let found = found(&["--format", "json"]);
    assert_eq!(found["outcome"], "proven");
    let (valves, shims) = (rows("valves.csv"), rows("shims.csv"));
    let by_id: BTreeMap<&str, &Vec<String>> = shims.iter().map(|shim| (shim[0].as_str(), shim)).collect();
    let mut used: BTreeMap<&str, usize> = BTreeMap::new();
    let mut spent = 0.0;
    for (place, valve) in found["placements"].as_array().expect("placements").iter().zip(&valves) {
        let id = place["parts"]["shim"].as_str().expect("a shim");
        let (value, held) = lash(valve, by_id[id]);
        assert!(held, "{id} at {}", valve[0]);
        let told = place["fits"]["lash_after"]["value"].as_f64().expect("a value");
        assert!((told - value).abs() < 1e-6, "{told} {value}");
        *used.entry(by_id[id][0].as_str()).or_default() += 1;
        spent += price(by_id[id]);
    }
    let least = cheapest(&valves, &shims) as f64 / 100.0;
    assert!(least > 0.0 && (spent - least).abs() < 1e-9, "{spent} {least}");
    assert_eq!(found["shopping"]["total"].as_f64(), Some(least));
    for line in found["shopping"]["lines"].as_array().expect("lines") {
        let id = line["part"].as_str().expect("a label");
        assert_eq!(line["count"].as_u64(), Some(used[id] as u64));
        assert_eq!(line["price"].as_f64(), Some(price(by_id[id])));
    }
    for (id, times) in used {
        let most = by_id[id][3].parse().unwrap_or(if by_id[id][3] == "any" { usize::MAX } else { 1 });
        assert!(times <= most, "{id}");
    }
}

#[test]
fn the_demo_reads_like_this() {
    insta::assert_snapshot!("shims_text", pairwright("match", &demo(), &[]).out);
    insta::assert_snapshot!("shims_csv", pairwright("match", &demo(), &["--format", "csv"]).out);
}

#[test]
fn the_proof_of_the_demo_can_be_checked_again() {
    let proofs = folder(&[]);
    let proof = proofs.path().join("plan.txt");
    let proof = proof.to_str().expect("plain");
    assert_eq!(pairwright("match", &demo(), &["--proof", proof]).exit, Exit::Done);
    let ran = pairwright("recheck", &demo(), &[proof]);
    assert_eq!(ran.exit, Exit::Done, "{ran:?}");
    assert!(ran.out.contains("the proof holds for 3 of 3 criteria"), "{ran:?}");
    // A plan that leaves a bought shim out and takes one that costs more is refused.
    let text = std::fs::read_to_string(proof).expect("written");
    let dearer = text.replacen("shim used 2.475", "shim new 2.50", 1);
    assert_ne!(dearer, text);
    std::fs::write(proof, dearer).expect("written");
    assert_eq!(pairwright("recheck", &demo(), &[proof]).exit, Exit::NotHeld);
}

/// The demo under another sum.
fn with_spend(most: &str) -> tempfile::TempDir {
    let read = |name: &str| std::fs::read_to_string(demo().join(name)).expect("there");
    let job = read("job.toml").replace("first = \"price\"", "#").replace("max = 40", &format!("max = {most}"));
    folder(&[("job.toml", &job), ("valves.csv", &read("valves.csv")), ("shims.csv", &read("shims.csv"))])
}

#[test]
fn a_sum_that_is_too_small_says_the_least_that_would_do() {
    let least = cheapest(&rows("valves.csv"), &rows("shims.csv"));
    let just = format!("{}.{:02}", least / 100, least % 100);
    let ran = pairwright("match", with_spend(&just).path(), &["--format", "json"]);
    let value: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!((ran.exit, &value["matches"][0]["outcome"]), (Exit::Done, &Value::from("proven")), "{}", ran.out);
    assert_eq!(value["matches"][0]["shopping"]["total"].as_f64(), Some(least as f64 / 100.0));
    let less = format!("{}.{:02}", (least - 1) / 100, (least - 1) % 100);
    let ran = pairwright("match", with_spend(&less).path(), &[]);
    assert_eq!(ran.exit, Exit::NotHeld);
    insta::assert_snapshot!("shims_too_dear", ran.out);
}

/// A what-if that takes a size away takes every piece of it, as the file without its row would.
#[test]
fn a_what_if_without_a_size_is_the_file_without_its_row() {
    let read = |name: &str| std::fs::read_to_string(demo().join(name)).expect("there");
    let what_if = "\n[[what_if]]\nname = \"no used 2.475\"\nwithout = { shim = [\"used 2.475\"] }\n";
    let (job, valves, shims) = (read("job.toml") + what_if, read("valves.csv"), read("shims.csv"));
    let compared = folder(&[("job.toml", &job), ("valves.csv", &valves), ("shims.csv", &shims)]);
    let ran = pairwright("compare", compared.path(), &[]);
    assert_eq!(ran.exit, Exit::Done, "{ran:?}");
    assert!(ran.out.contains("no used 2.475"), "{ran:?}");
    let rows: Vec<&str> = shims.lines().filter(|row| !row.starts_with("used 2.475")).collect();
    let by_hand = folder(&[("job.toml", &read("job.toml")), ("valves.csv", &valves), ("shims.csv", &rows.join("\n"))]);
    let by_hand = pairwright("match", by_hand.path(), &["--format", "json"]);
    let by_hand: Value = serde_json::from_str(&by_hand.out).expect("JSON");
    let json = pairwright("compare", compared.path(), &["--format", "json"]);
    let json: Value = serde_json::from_str(&json.out).expect("JSON");
    let planned = &json["what_ifs"][0];
    assert_eq!(planned["plan"]["placements"], by_hand["matches"][0]["placements"], "{planned:#}");
    assert_eq!(planned["plan"]["shopping"], by_hand["matches"][0]["shopping"]);
}
