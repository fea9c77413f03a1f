//! The example of several parts of one kind a position in the job file reference: the program comes to what the page says.

use std::fs;
use std::path::Path;

use pairwright::Exit;
use pairwright_tests::folder::{folder, pairwright};
use serde_json::Value;

/// What stands between two fences of this language, the first after `from`.
fn block<'p>(page: &'p str, language: &str, nth: usize) -> &'p str {
    let fence = format!("```{language}\n");
    page.split(fence.as_str()).nth(nth + 1).and_then(|rest| rest.split("```").next()).expect("a block")
}

#[test]
fn the_example_comes_out() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/job-file.md");
    let page = fs::read_to_string(path).expect("the reference");
    let (_, page) = page.split_once("#### Several parts of one kind a position\n").expect("the section");
    let page = page.split("\n#").next().expect("the section");
    let (job, journals, shells) = (block(page, "toml", 0), block(page, "csv", 0), block(page, "csv", 1));
    let job = folder(&[("job.toml", job), ("journals.csv", journals), ("shells.csv", shells)]);
    let ran = pairwright("match", job.path(), &["--format", "json"]);
    assert_eq!(ran.exit, Exit::Done, "{ran:?}");
    let document: Value = serde_json::from_str(&ran.out).expect("JSON");
    let found = &document["matches"][0];
    assert_eq!(found["outcome"], "proven");
    let parts = |at: usize, role: &str| found["placements"][at]["parts"][role].as_str().expect("a shell").to_owned();
    assert_eq!([parts(0, "upper"), parts(0, "lower"), parts(1, "upper"), parts(1, "lower")], ["S2", "S1", "S3", "S4"]);
    assert_eq!(found["left_out"], serde_json::json!(["S5"]));

    let size = |id: &str| {
        let rows = journals.lines().chain(shells.lines()).map(|line| line.split(',').collect::<Vec<_>>());
        rows.filter(|row| row[0] == id).map(|row| row[1..].join(" - ")).next().expect("a row")
    };
    for at in 0..2 {
        let sum = format!(
            "{} - {} - {} = ",
            size(&(at + 1).to_string()),
            size(&parts(at, "upper")),
            size(&parts(at, "lower"))
        );
        let (_, result) = page.split_once(sum.as_str()).expect("the sum stands on the page");
        let printed: f64 = result.split('`').next().and_then(|text| text.parse().ok()).expect("a result");
        let value = found["placements"][at]["fits"]["main_clearance"]["value"].as_f64().expect("a value");
        assert!((value - printed).abs() < 1e-9, "{value} {printed}");
    }
}
