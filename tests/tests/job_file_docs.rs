//! The example of the job file reference is a job that the program reads.

use std::fs;
use std::path::Path;

use pairwright_tests::folder::{folder, pairwright};

#[test]
fn the_example_of_the_reference_is_sound() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let reference = fs::read_to_string(root.join("docs/job-file.md")).expect("the reference");
    let example = reference.split("```toml\n").nth(1).and_then(|rest| rest.split("```").next()).expect("an example");
    let demo = |name: &str| fs::read_to_string(root.join("datasets/tarn-v8").join(name)).expect("the demo");
    let files = [
        ("job.toml", example.to_owned()),
        ("pistons.csv", demo("pistons.csv")),
        ("cylinders.csv", demo("cylinders.csv")),
        ("deck-readings.csv", demo("deck-readings.csv")),
    ];
    let job = folder(&files.each_ref().map(|(name, text)| (*name, text.as_str())));
    let checked = pairwright("check", job.path(), &[]);
    assert_eq!(checked.exit, pairwright::Exit::Done, "{}", checked.out);
}

#[test]
fn the_what_ifs_of_the_reference_are_sound() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let reference = fs::read_to_string(root.join("docs/job-file.md")).expect("the reference");
    let (_, behind) = reference.split_once("### `[[what_if]]`").expect("the section");
    let example = behind.split("```toml\n").nth(1).and_then(|rest| rest.split("```").next()).expect("an example");
    let demo = |name: &str| fs::read_to_string(root.join("datasets/tarn-v8").join(name)).expect("the demo");
    let whole = demo("job.toml");
    let (without, _) = whole.split_once("\n[[what_if]]").expect("the demo has what-ifs");
    let names = ["pistons", "rods", "heads", "gaskets", "cylinders", "deck-readings", "chamber-readings", "clearances"];
    let mut files = vec![("job.toml".to_owned(), format!("{without}\n{example}"))];
    files.extend(names.map(|name| (format!("{name}.csv"), demo(&format!("{name}.csv")))));
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    let job = folder(&files);
    let compared = pairwright("compare", job.path(), &["--format", "csv"]);
    assert_eq!((compared.exit, compared.err.as_str()), (pairwright::Exit::Done, ""));
    assert_eq!(compared.out.lines().filter(|line| line.contains("proven")).count(), 6, "{}", compared.out);
}
