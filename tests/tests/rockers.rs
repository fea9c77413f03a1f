//! The demo of 240 rockers for 16 valves, against another library's assignment.

use std::path::{Path, PathBuf};

use pairwright::Exit;
use pairwright_tests::folder::{folder, pairwright};
use pathfinding::prelude::{Matrix, kuhn_munkres};
use serde_json::Value;

/// The cap of the demo's job file, in nm.
const CAP: f64 = 0.4440 * 25_400_000.0;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets/tarn-rockers")
}

/// The rows of a CSV file of the demo, without its header.
fn rows(name: &str) -> Vec<Vec<String>> {
    let text = std::fs::read_to_string(demo().join(name)).expect("there");
    text.lines().skip(1).map(|line| line.split(',').map(str::to_owned).collect()).collect()
}

fn number(cell: &str) -> f64 {
    cell.parse().expect("a number")
}

/// Lift in nm, and whether it stays inside the cap by 1.96 standard uncertainties (those of the job file).
#[expect(clippy::cast_possible_truncation, reason = "lifts are some million nm")]
fn lift(valve: &[String], rocker: &[String]) -> (i64, bool) {
    let (lobe, lash, ratio) = (number(&valve[2]), number(&valve[3]), number(&rocker[1]));
    let value = (lobe * ratio - lash) * 25_400_000.0;
    let u = ((ratio * 0.0002).powi(2) + (lobe * 0.001).powi(2) + 0.0005_f64.powi(2)).sqrt() * 25_400_000.0;
    (value.round() as i64, value + 1.959_964 * u <= CAP)
}

/// The highest total over `valves` from `rockers`, by the Hungarian method of `pathfinding`.
fn highest(valves: &[Vec<String>], rockers: &[Vec<String>]) -> i64 {
    let weight = |(valve, rocker): (usize, usize)| match lift(&valves[valve], &rockers[rocker]) {
        (value, true) => value,
        (_, false) => -1_000_000_000,
    };
    kuhn_munkres(&Matrix::from_fn(valves.len(), rockers.len(), weight)).0
}

#[test]
fn the_demo_places_the_best_sixteen_each_once() {
    let ran = pairwright("match", &demo(), &["--format", "json"]);
    assert_eq!(ran.exit, Exit::Done);
    let value: Value = serde_json::from_str(&ran.out).expect("JSON");
    let (valves, mut rockers) = (rows("valves.csv"), rows("rockers.csv"));
    assert_eq!((valves.len(), rockers.len()), (16, 240));
    for (found, port) in value["matches"].as_array().expect("matches").iter().zip(["intake", "exhaust"]) {
        assert_eq!((found["name"].as_str(), found["outcome"].as_str()), (Some(port), Some("proven")));
        let own: Vec<_> = valves.iter().filter(|valve| valve[1] == port).cloned().collect();
        let placed: Vec<_> = found["placements"].as_array().expect("placements").iter().collect();
        let served: Vec<_> = placed.iter().filter_map(|place| place["position"].as_str()).collect();
        assert_eq!(served, own.iter().map(|valve| valve[0].as_str()).collect::<Vec<_>>());
        let expected = highest(&own, &rockers) as f64 / 25_400_000.0;
        let total = found["total"]["value"].as_f64().expect("a total");
        // Each of eight lifts is rounded to whole nm.
        assert!((total - expected).abs() < 1e-6, "{port}: {total} {expected}");
        for (place, valve) in placed.iter().zip(&own) {
            let id = place["parts"]["rocker"].as_str().expect("a rocker");
            let at = rockers.iter().position(|rocker| rocker[0] == id).expect("not placed before");
            assert!(lift(valve, &rockers[at]).1, "{id} at {}", valve[0]);
            rockers.remove(at);
        }
    }
    assert_eq!(rockers.len(), 224);
}

#[test]
fn the_demo_can_be_checked_again_and_one_match_alone() {
    let proofs = folder(&[]);
    let proof = proofs.path().join("plan.txt");
    let proof = proof.to_str().expect("plain");
    assert_eq!(pairwright("match", &demo(), &["--proof", proof]).exit, Exit::Done);
    let ran = pairwright("recheck", &demo(), &[proof]);
    assert_eq!(ran.exit, Exit::Done, "{ran:?}");
    assert!(
        ran.out.contains("intake: every rule is kept") && ran.out.contains("exhaust: every rule is kept"),
        "{ran:?}"
    );

    let alone = pairwright("match", &demo(), &["--format", "csv", "--only", "exhaust"]);
    assert_eq!(alone.exit, Exit::Done);
    assert!(alone.out.starts_with("match,outcome,position,bank,rocker,rocker_comes_from,lift_in,"), "{alone:?}");
    assert_eq!(alone.out.lines().count(), 9);
}

/// The demo under another cap on the intake side.
fn under(cap: &str) -> tempfile::TempDir {
    let read = |name: &str| std::fs::read_to_string(demo().join(name)).expect("there");
    let job = read("job.toml").replacen("max = 0.4440", &format!("max = {cap}"), 1);
    folder(&[("job.toml", &job), ("valves.csv", &read("valves.csv")), ("rockers.csv", &read("rockers.csv"))])
}

#[test]
fn a_cap_that_no_rocker_meets_says_how_much_higher_would_do() {
    let only = ["--only", "intake"];
    let ran = pairwright("match", under("0.3000").path(), &only);
    assert_eq!(ran.exit, Exit::NotHeld, "{ran:?}");
    assert!(ran.out.contains("Impossible: no choice holds every limit. The proof of that was checked."), "{}", ran.out);
    assert!(ran.out.contains("0.1311 in higher"), "{}", ran.out);
    // So much higher is enough, and a little less is not.
    assert_eq!(pairwright("match", under("0.4311").path(), &only).exit, Exit::Done);
    assert_eq!(pairwright("match", under("0.4310").path(), &only).exit, Exit::NotHeld);
}

/// Words that only cylinders have stay away from valves.
#[test]
fn the_text_speaks_of_valves_and_rockers() {
    let ran = pairwright("match", &demo(), &[]);
    assert!(ran.out.contains("rockers to valves, valve lift as high as possible in total"), "{ran:?}");
    assert!(ran.out.contains("232 rockers stay out"), "{ran:?}");
    assert!(!ran.out.contains("cylinder") && !ran.out.contains("crank"), "{}", ran.out);
}

#[test]
fn the_choice_from_the_pile_is_explained() {
    let ran = pairwright("match", &demo(), &["--only", "intake"]);
    let from = ran.out.find("How the pile was chosen from").expect("the section");
    let to = from + ran.out[from..].find("Parts left out").expect("the next one");
    insta::assert_snapshot!("rockers_selection", &ran.out[from..to]);
    // What leaves the last one out costs what bringing the first one in does.
    let ran = pairwright("match", &demo(), &["--only", "intake", "--format", "json"]);
    let value: Value = serde_json::from_str(&ran.out).expect("JSON");
    let found = &value["matches"][0];
    let first_out = &found["selection"]["edge"]["first_out"][0];
    let forced = found["forced_in"].as_array().expect("prices").iter().find(|forced| forced["part"] == *first_out);
    assert_eq!(forced.expect("priced")["plan"]["price"]["aim"], found["selection"]["edge"]["price"]["aim"]);
}
