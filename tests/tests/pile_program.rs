//! `pile` as its user meets it.

use std::path::{Path, PathBuf};

use pairwright::Exit;
use pairwright_tests::folder::pairwright;
use serde_json::Value;

fn called(command: &str, job: &str, options: &[&str]) -> (Exit, String, String) {
    let ran = pairwright(command, &dataset(job), options);
    (ran.exit, ran.out, ran.err)
}

fn dataset(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets").join(name)
}

fn number(value: &Value, path: &str) -> f64 {
    value.pointer(path).and_then(Value::as_f64).unwrap_or_else(|| panic!("{path} of {value}"))
}

#[test]
fn more_rockers_gain_more_and_the_present_is_that_of_the_match() {
    let asked = ["--only", "exhaust", "--more", "10,40,160", "--reach", "3.2", "--format", "json"];
    let (exit, out, err) = called("pile", "tarn-rockers", &asked);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""));
    assert_eq!(called("pile", "tarn-rockers", &asked).1, out, "same seed, same bytes");
    let pile: Value = serde_json::from_str(&out).expect("JSON");
    let (_, matched, _) = called("match", "tarn-rockers", &["--format", "json"]);
    let matched: Value = serde_json::from_str(&matched).expect("JSON");
    assert_eq!(matched.pointer("/matches/1/name").and_then(Value::as_str), Some("exhaust"));
    // What the intake valves took is gone: the total is that of the whole job.
    let total = number(&matched, "/matches/1/total/value");
    assert!((number(&pile, "/now") - total).abs() < 1e-9, "{} {total}", number(&pile, "/now"));
    let gains: Vec<f64> = (0..3).map(|at| number(&pile, &format!("/steps/{at}/gain/value"))).collect();
    assert!(gains[0] > 0.0 && gains.windows(2).all(|two| two[0] < two[1]), "{gains:?}");
    for at in 0..3 {
        let of = |end: &str| number(&pile, &format!("/steps/{at}/gain/{end}"));
        assert!(of("low") <= of("value") && of("value") <= of("high"));
    }
    let reached = if total >= 3.2 { Some(0) } else { None };
    assert!(reached.is_none_or(|none| pile.pointer("/to_reach/expected").and_then(Value::as_u64) == Some(none)));
}

#[test]
fn the_page_says_what_it_rests_on() {
    let (exit, out, _) = called("pile", "tarn-deck", &["--more", "5", "--reach", "0.0012"]);
    assert_eq!(exit, Exit::Done);
    for said in [
        "11 pistons to choose from for 8 cylinders",
        "More pistons",
        "To reach 0.0012 in",
        "Shapiro and Francia",
        "seed",
    ] {
        assert!(out.replace('\u{a0}', " ").contains(said), "{said}\n{out}");
    }
}

#[test]
fn money_before_the_aim_is_said_first() {
    let (exit, out, err) = called("pile", "wren-shims", &["--more", "5,20", "--price", "1.50", "--reach", "6"]);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""));
    let words = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "21 shims and 118 pieces of stated sizes",
        "what is spent is now 13.60",
        "what is spent, which counts first",
        "is taken to cost 1.50 where the plan uses it (--price)",
        "400 futures were drawn",
    ] {
        assert!(words.contains(said), "{said}\n{out}");
    }
    let (_, out, _) = called("pile", "wren-shims", &["--more", "5,20", "--format", "json"]);
    let pile: Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(pile.pointer("/before/0/what").and_then(Value::as_str), Some("price"));
    assert!(pile.pointer("/further_price").is_some_and(Value::is_null));
    let [five, twenty] = [0, 1].map(|at| number(&pile, &format!("/steps/{at}/before/0/gain/value")));
    assert!(0.0 < five && five < twenty && twenty <= number(&pile, "/before/0/now"), "{five} {twenty}");
}

#[test]
fn two_shells_a_journal_have_a_pile_whose_present_is_that_of_the_match() {
    let (exit, out, err) = called("pile", "fell-shells", &["--more", "0,5,20", "--format", "json"]);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""));
    let pile: Value = serde_json::from_str(&out).expect("JSON");
    let (_, matched, _) = called("match", "fell-shells", &["--format", "json"]);
    let matched: Value = serde_json::from_str(&matched).expect("JSON");
    let placements = matched.pointer("/matches/0/placements").and_then(Value::as_array).expect("a plan");
    let away = |placement: &Value| (number(placement, "/fits/main_clearance/value") - 0.045).abs();
    let worst = placements.iter().map(away).fold(0.0, f64::max);
    assert!((number(&pile, "/now") - worst).abs() < 1e-6, "{} {worst}", number(&pile, "/now"));
    let [none, five, twenty] = [0, 1, 2].map(|at| number(&pile, &format!("/steps/{at}/gain/value")));
    assert!(none.abs() < 1e-12 && 0.0 < five && five < twenty && twenty <= worst, "{none} {five} {twenty}");
    let (exit, _, err) = called("pile", "fell-shells", &["--more", "200"]);
    assert_eq!(exit, Exit::NotHeld);
    assert!(err.contains("no more than 104 further ones"), "{err}");
}

#[test]
fn a_price_where_no_money_counts_is_refused() {
    let (exit, out, err) = called("pile", "tarn-deck", &["--price", "2"]);
    assert_eq!((exit, out.as_str()), (Exit::Wrong, ""));
    assert!(err.contains("--price") && err.contains("counts no money"), "{err}");
}

#[test]
fn of_pistons_and_rods_each_kind_has_a_table() {
    let (exit, out, err) = called("pile", "tarn-v8", &["--more", "4"]);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""));
    for said in ["11 pistons to choose from", "More pistons", "10 rods to choose from", "More rods"] {
        assert!(out.replace('\u{a0}', " ").contains(said), "{said}\n{out}");
    }
    let (_, matched, _) = called("match", "tarn-v8", &["--format", "json"]);
    let matched: Value = serde_json::from_str(&matched).expect("JSON");
    let placements = matched.pointer("/matches/0/placements").and_then(Value::as_array).expect("a plan");
    let ratios: Vec<f64> = placements.iter().map(|placement| number(placement, "/fits/compression/value")).collect();
    let spread = ratios.iter().copied().fold(0.0, f64::max) - ratios.iter().copied().fold(f64::INFINITY, f64::min);
    for kind in ["piston", "rod"] {
        let (exit, out, err) = called("pile", "tarn-v8", &["--kind", kind, "--more", "0,4,12", "--format", "json"]);
        assert_eq!((exit, err.as_str()), (Exit::Done, ""));
        let pile: Value = serde_json::from_str(&out).expect("JSON");
        assert_eq!(pile.pointer("/kind").and_then(Value::as_str), Some(kind));
        // The present plan is that of the match, pistons and rods together.
        assert!((number(&pile, "/now") - spread).abs() < 1e-5, "{} {spread}", number(&pile, "/now"));
        let [none, four, twelve] = [0, 1, 2].map(|at| number(&pile, &format!("/steps/{at}/gain/value")));
        assert!(none.abs() < 1e-12 && 0.0 < four && four < twelve && twelve < spread, "{none} {four} {twelve}");
    }
}

#[test]
fn what_cannot_be_asked_says_why() {
    for asked in [&["--format", "json"][..], &["--kind", "head"]] {
        let (exit, out, err) = called("pile", "tarn-v8", asked);
        assert_eq!((exit, out.as_str()), (Exit::NotHeld, ""));
        assert!(err.contains("--kind which grows, `piston` or `rod`"), "{err}");
    }
    let (exit, _, err) = called("pile", "tarn-deck", &["--kind", "rod"]);
    assert_eq!(exit, Exit::NotHeld);
    assert!(err.contains("is `piston`"), "{err}");
    let (exit, _, err) = called("pile", "tarn-rockers", &[]);
    assert_eq!(exit, Exit::Wrong);
    assert!(err.contains("--only") && err.contains("`intake`"), "{err}");
    let (exit, _, err) = called("pile", "tarn-rockers", &["--only", "inlet"]);
    assert_eq!(exit, Exit::Wrong);
    assert!(err.contains("no match called `inlet`"), "{err}");
}
