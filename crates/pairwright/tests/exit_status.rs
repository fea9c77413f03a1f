//! Exit statuses of the real program, one test each.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use tempfile::TempDir;

const JOB: &str = r#"
title = "Exit statuses"
units = "mm"
[banks]
row = [1, 2]
[stock]
piston = "pistons.csv"
[readings]
deck = "readings.csv"
[[match]]
place = "piston"
even = "deck"
"#;
const PISTONS: &str = "id,mass_g\nA,600.1\nB,600.4\nC,612.0\n";
const READINGS: &str = "cylinder,piston,reading\n1,A,0.10\n1,B,0.14\n1,C,0.18\n2,A,0.06\n2,A,0.06\n";

/// A job folder whose job file ends with `more`.
fn folder(more: &str) -> TempDir {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).expect("written");
    write("job.toml", &format!("{JOB}{more}"));
    write("pistons.csv", PISTONS);
    write("readings.csv", READINGS);
    folder
}

fn pairwright(words: &[&str], job: &Path) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pairwright"));
    command.args(words).arg(job).env_remove("COLUMNS").output().expect("the program starts")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

#[test]
fn a_plan_that_holds_its_limits_ends_with_0() {
    let job = folder("limits = { mass = { spread = \"15 g\" } }\n");
    let output = pairwright(&["match"], job.path());
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(text(&output.stdout).contains("Proven"));
    assert_eq!(pairwright(&["check"], job.path()).status.code(), Some(0));
}

#[test]
fn no_plan_ends_with_1() {
    let job = folder("limits = { deck = { min = \"0.30 mm\" } }\n");
    let output = pairwright(&["match"], job.path());
    assert_eq!(output.status.code(), Some(1), "{}", text(&output.stdout));
}

#[test]
fn a_plan_that_holds_only_at_face_value_ends_with_1() {
    // The best pairs stand at 0.10 or 0.14; the band of a reading typed to 0.01 mm is wider than 0.1 µm.
    let job = folder("limits = { deck = { min = \"0.0999 mm\" } }\n");
    let output = pairwright(&["match", "--format", "json"], job.path());
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stdout).contains("\"impossible\""));
}

#[test]
fn something_missing_for_the_match_ends_with_1() {
    let job = folder("limits = { skirt = { min = \"0.02 mm\" } }\n");
    for command in ["match", "check"] {
        let output = pairwright(&[command], job.path());
        assert_eq!(output.status.code(), Some(1), "{command}");
    }
}

#[test]
fn wrong_input_ends_with_2_and_leaves_standard_output_empty() {
    let job = folder("evn = \"deck\"\n");
    let output = pairwright(&["match"], job.path());
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    assert!(text(&output.stderr).contains("job.toml"));
    assert_eq!(pairwright(&["check"], job.path()).status.code(), Some(2));
}

#[test]
fn a_wrong_call_ends_with_2() {
    let job = folder("");
    for words in [&["mtach"][..], &["match", "--formt", "json"], &["match", "--only", "nobody"], &[]] {
        let output = pairwright(words, job.path());
        assert_eq!(output.status.code(), Some(2), "{words:?}");
        assert!(output.stdout.is_empty(), "{words:?}");
    }
}

#[test]
fn a_reader_that_leaves_early_is_no_error() {
    let job = folder("");
    let script = format!(
        "'{}' match '{}' | head -1 >/dev/null; echo ${{PIPESTATUS[0]}}",
        env!("CARGO_BIN_EXE_pairwright"),
        job.path().display()
    );
    let output = Command::new("bash").args(["-c", &script]).output().expect("bash starts");
    assert_eq!(text(&output.stdout).trim(), "0", "{}", text(&output.stderr));
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let job = folder("");
    for format in ["text", "json", "csv"] {
        let run = || pairwright(&["match", "--format", format], job.path()).stdout;
        let first = run();
        assert!(!first.is_empty());
        assert_eq!(first, run(), "{format}");
    }
}
