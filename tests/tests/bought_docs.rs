//! The worked example of parts to buy: its files are read, and its sums come out.

use std::fs;
use std::path::Path;

use pairwright::Exit;
use pairwright_tests::folder::{folder, pairwright};
use serde_json::Value;

/// The section of the reference, line breaks in its sentences taken out.
fn section() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/job-file.md");
    let page = fs::read_to_string(path).expect("the reference");
    let start = page.find("### Parts to buy").expect("the section");
    let end = start + 1 + page[start + 1..].find("\n##").expect("the next one");
    page[start..end].to_owned()
}

/// The blocks between fences, in order.
fn blocks(section: &str) -> Vec<String> {
    section
        .split("```")
        .skip(1)
        .step_by(2)
        .map(|block| block.trim_start_matches("toml").trim_start().to_owned())
        .collect()
}

/// Every sum between backticks: its terms, signed, and what is said to come out.
fn sums(section: &str) -> Vec<(Vec<f64>, f64)> {
    let quoted = section.split("```").step_by(2).flat_map(|text| text.split('`').skip(1).step_by(2));
    let sum = |text: &str| {
        let flat = text.replace('\n', " ").replace("- ", "-").replace("+ ", "");
        let (left, right) = flat.split_once(" = ")?;
        let terms = left.split_whitespace().map(|term| term.parse().ok()).collect::<Option<_>>()?;
        Some((terms, right.parse().ok()?))
    };
    quoted.filter_map(sum).collect()
}

fn run(shims: &str) -> (Exit, Value) {
    let blocks = blocks(&section());
    let [_, example, valves] = &blocks[..] else { panic!("three blocks: {blocks:?}") };
    let job = format!("units = \"mm\"\n[stock]\nshim = \"shims.csv\"\n[positions]\nvalve = \"valves.csv\"\n{example}");
    let job = folder(&[("job.toml", &job), ("valves.csv", valves), ("shims.csv", shims)]);
    let ran = pairwright("match", job.path(), &["--format", "json"]);
    (ran.exit, serde_json::from_str(&ran.out).unwrap_or_else(|_| panic!("{}", ran.err)))
}

#[test]
fn every_sum_of_the_example_is_right() {
    let sums = sums(&section());
    assert_eq!(sums.len(), 5, "{sums:?}");
    for (terms, said) in sums {
        assert!((terms.iter().sum::<f64>() - said).abs() < 1e-9, "{terms:?} {said}");
    }
}

#[test]
fn the_example_comes_out_as_the_page_says() {
    let shims = blocks(&section())[0].clone();
    let (exit, document) = run(&shims);
    assert_eq!((exit, &document["matches"][0]["outcome"]), (Exit::NotHeld, &Value::from("impossible")));
    let further = section().split('`').find(|text| text.starts_with("2.50,")).expect("a further row").to_owned();
    let (exit, document) = run(&format!("{shims}{further}\n"));
    let found = &document["matches"][0];
    assert_eq!((exit, &found["outcome"]), (Exit::Done, &Value::from("proven")), "{document:#}");
    let placed = |at: usize| {
        let place = &found["placements"][at];
        (
            place["parts"]["shim"].as_str(),
            place["fits"]["lash_after"]["value"].as_f64().map(|lash| (lash * 1e6).round()),
        )
    };
    assert_eq!([placed(0), placed(1)], [(Some("A"), Some(190_000.0)), (Some("2.50"), Some(190_000.0))]);
    assert_eq!(found["shopping"]["total"].as_f64(), Some(6.8));
}
