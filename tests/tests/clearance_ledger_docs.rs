//! The sums of the clearance ledger that the reference works out, read and carried over by the whole program.

use std::path::Path;

use pairwright::Exit;
use pairwright_engine::clearance::Lever;
use pairwright_tests::folder::{Ran, folder, pairwright};
use serde_json::Value;

/// Piston `new` stands 0.12 mm higher than `old` in every cylinder, gasket `thick` is 0.20 mm thicker than `thin`.
const JOB: &str = r#"
title = "A row of two"
units = "mm"

[engine]
stroke = 80.00
rod_length = 140.00
deck_height = 220.10
cam = "new"

[banks]
row = [1, 2]

[stock]
piston = "pistons.csv"
gasket = "gaskets.csv"
rocker = "rockers.csv"

[positions]
valve = "valves.csv"

[readings]
clearance = "clearances.csv"

[[match]]
name = "rockers"
place = "rocker"
highest = "lift"

[[match]]
name = "block"
place = ["piston", "gasket"]
even = "deck"
keep = { piston = { "1" = "new", "2" = "other" }, gasket = "thick" }
"#;

const PISTONS: &str = "id,compression_height\nold,40.000\nnew,40.120\nother,40.120\n";
const GASKETS: &str = "id,thickness,bore\nthin,1.000,82.0\nthick,1.200,82.0\n";
const VALVES: &str = "valve,cylinder,lobe_lift,lash\n1i,1,7.000,0\n2i,2,7.000,0\n";
const ROCKERS: &str = "id,ratio,fits\nfirst,1.500,none\nA,1.543,1i\nB,1.543,2i\n";
const HEAD: &str =
    "name,of,valve,cylinder,surface,angle,piston,gasket,rocker,lift,lift_there,cam,per_deck,per_gasket,reading,minimum";

fn run(rows: &str, options: &[&str]) -> Ran {
    let ledger = format!("{HEAD}\n{rows}");
    let files = [
        ("job.toml", JOB),
        ("pistons.csv", PISTONS),
        ("gaskets.csv", GASKETS),
        ("valves.csv", VALVES),
        ("rockers.csv", ROCKERS),
        ("clearances.csv", &ledger),
    ];
    pairwright("match", folder(&files).path(), options)
}

fn entries(rows: &str) -> (Exit, Vec<Value>) {
    let ran = run(rows, &["--format", "json"]);
    assert_eq!(ran.err, "");
    let value: Value = serde_json::from_str(&ran.out).expect("JSON");
    (ran.exit, value["clearances"]["entries"].as_array().expect("entries").clone())
}

fn left(entry: &Value) -> f64 {
    entry["left"]["value"].as_f64().expect("a value")
}

/// The page says the sum, and the program comes to it.
fn check(sum: &str, entry: &Value) {
    let page =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/job-file.md")).expect("there");
    assert!(page.contains(&format!("`{sum}`")), "the reference does not work out {sum}");
    let result: f64 = sum.rsplit_once(" = ").expect("a sum").1.parse().expect("a number");
    assert!((left(entry) - result).abs() <= 0.000_5, "{sum}: {}", left(entry));
}

#[test]
fn piston_to_valve_loses_the_rise_and_gains_the_gasket() {
    let row =
        |name: &str, surface: &str| format!("{name},piston to valve,,1,{surface},20,old,thin,,,,,,,2.400,1.500\n");
    let (exit, all) = entries(&[row("p", "pocket"), row("f", "flat"), row("u", "")].concat());
    assert_eq!(exit, Exit::Done);
    check("2.400 - (0.120 - 0.200) x cos 20 = 2.475", &all[0]);
    check("2.400 - (0.120 - 0.200) / cos 20 = 2.485", &all[1]);
    // The lesser of the two where nothing says which it is.
    assert_eq!(all[2]["left"]["value"], all[0]["left"]["value"]);
    assert_eq!(all[0]["piston_higher"]["value"].as_f64(), Some(0.12));
    assert_eq!(all[0]["gasket_thicker"]["value"].as_f64(), Some(0.2));
}

#[test]
fn without_another_gasket_the_unstated_surface_loses_most() {
    let row =
        |name: &str, surface: &str| format!("{name},piston to valve,,1,{surface},20,old,thick,,,,,,,2.400,1.500\n");
    let (_, all) = entries(&[row("p", "pocket"), row("f", "flat"), row("u", "")].concat());
    assert!((left(&all[0]) - (2.4 - 0.12 * 20_f64.to_radians().cos())).abs() < 1e-6);
    assert!((left(&all[1]) - (2.4 - 0.12 / 20_f64.to_radians().cos())).abs() < 1e-6);
    assert_eq!(all[2]["left"]["value"], all[1]["left"]["value"]);
}

/// 7.000 x 1.500 = 10.500 as read, 7.000 x 1.543 = 10.801 as planned.
#[test]
fn extra_lift_comes_off() {
    let rows = "\
        g,retainer to guide,1i,,,,,,first,,,,,,1.200,0.500\n\
        s,coil bind,1i,,,,,,,10.500,,,,,1.500,1.000\n\
        whole,piston to valve,1i,,pocket,0,new,thick,first,,,,,,2.400,1.500\n\
        there,piston to valve,1i,,pocket,0,new,thick,first,,2.000,,,,2.400,1.500\n";
    let (exit, all) = entries(rows);
    assert_eq!(exit, Exit::Done);
    check("1.200 - 0.301 = 0.899", &all[0]);
    check("1.500 - 0.301 = 1.199", &all[1]);
    check("2.400 - 0.301 = 2.099", &all[2]);
    check("2.400 - 2.000 x 0.301 / 10.500 = 2.343", &all[3]);
    assert_eq!(all[0]["cylinder"], "1", "by the valve's own column");
    let good_for = all[0]["good_for"]["value"].as_f64().expect("the lift is known");
    // Less the guard band, to which two ratios typed to three decimals bring most.
    assert!((0.0..0.007).contains(&(10.801 + 0.399 - good_for)), "{good_for}");
}

#[test]
fn stated_sensitivities_follow_their_units() {
    let rows = "\
        one,,,1,,,old,thin,,,,,-0.97 mm/mm,0.5 mm per mm,3.000,2.000\n\
        other,,,1,,,old,thin,,,,,-970 um/mm,12.7 mm/in,3.000,2.000\n";
    let (_, all) = entries(rows);
    check("3.000 - 0.97 x 0.120 + 0.5 x 0.200 = 2.984", &all[0]);
    assert_eq!(all[0]["left"]["value"], all[1]["left"]["value"]);
}

#[test]
fn another_cam_has_to_be_measured_again() {
    let rows = "\
        p,piston to valve,1i,,pocket,0,new,thick,first,,,old,,,2.400,1.500\n\
        g,retainer to guide,1i,,,,,,first,,,old,,,1.200,0.500\n";
    let (exit, all) = entries(rows);
    assert_eq!(exit, Exit::NotHeld);
    assert_eq!((all[0]["state"].as_str(), all[0]["measure_again"].as_str()), (Some("measure_again"), Some("cam")));
    assert!(all[0]["left"].is_null() && all[0]["headroom"].is_null());
    assert_eq!(all[1]["state"], "held", "a greatest lift does not hang on when it comes");
}

/// Every entry is a limit: the one that cannot be held is named, with the smallest change of it.
#[test]
fn an_entry_that_nothing_holds_is_named_with_the_smallest_change() {
    let ran = run("\"tight, intake 1\",piston to valve,1i,,pocket,0,new,thick,first,,,,,,2.400,2.200\n", &[]);
    assert_eq!(ran.exit, Exit::NotHeld);
    let why =
        ran.out.split("Why there is no plan").nth(1).expect("said").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        why.contains("The measured clearance \"tight, intake 1\" (at least 2.200 mm) keeps others out"),
        "{}",
        ran.out
    );
    // 2.400 - 0.301 is 0.101 short; the guard band, to which two ratios typed to three decimals bring most, is
    // 1.96 x sqrt(2) x 7 x 0.001 / sqrt(12) = 0.0056 and a little for the reading.
    assert!(why.contains("0.107 mm lower would be enough"), "{}", ran.out);
}

#[test]
fn the_page_shows_the_ledger_and_what_stops_first() {
    let rows = "\
        intake 1,piston to valve,1i,,pocket,20,old,thin,first,,2.000,,,,2.400,1.500\n\
        guide 1,retainer to guide,1i,,,,,,first,,,,,,1.200,0.500\n";
    let ran = run(rows, &[]);
    let page =
        ran.out.split("\nClearances\n").nth(1).expect("a section").split("\nBefore you build").next().expect("some");
    insta::assert_snapshot!(page);
}

/// What the rockers' match decided counts in the block's, for `recheck` as for `match`; with a minimum that the plan does
/// not keep, the plan is refused.
#[test]
fn a_plan_that_was_written_down_is_gone_over_with_its_clearances() {
    let rows = |minimum: &str| {
        format!("{HEAD}\nintake 1,piston to valve,1i,,pocket,20,old,thin,first,,2.000,,,,2.400,{minimum}\n")
    };
    let job = folder(&[
        ("job.toml", JOB),
        ("pistons.csv", PISTONS),
        ("gaskets.csv", GASKETS),
        ("valves.csv", VALVES),
        ("rockers.csv", ROCKERS),
        ("clearances.csv", &rows("2.300")),
    ]);
    let plan = job.path().join("plan.txt");
    let plan = plan.to_str().expect("a path of the test");
    let ran = pairwright("match", job.path(), &["--proof", plan]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.out);
    assert_eq!(pairwright("recheck", job.path(), &[plan]).exit, Exit::Done);
    // 2.418 is left: see the page above.
    for (minimum, exit) in [("2.400", Exit::Done), ("2.420", Exit::NotHeld)] {
        std::fs::write(job.path().join("clearances.csv"), rows(minimum)).expect("written");
        let again = pairwright("recheck", job.path(), &[plan]);
        assert_eq!(again.exit, exit, "{minimum}: {}{}", again.out, again.err);
    }
}

/// Headroom as a page of its own, for whoever compares what-ifs.
#[test]
fn headroom_has_a_page_of_its_own() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets/tarn-v8");
    let loaded = pairwright::input::load(&root).expect("the demo is sound");
    let report = pairwright_engine::outcome::match_job(&loaded.job, None).expect("the checker accepts the answer");
    let style = pairwright::render::Style { width: 100, color: false, ascii: true };
    let page = pairwright::render::headroom_text(&loaded.job, report.ledger.as_ref().expect("a ledger"), &style);
    insta::assert_snapshot!(page);
    // The middle gasket is 0.0120 in thinner than the thick one of the plan, the thin one 0.0240 in.
    let stop = report.ledger.expect("a ledger").stops.into_iter().find(|stop| stop.lever == Lever::Gasket);
    let room = stop.expect("the gasket has an end").at;
    assert!((304_800..609_600).contains(&room), "{room}");
}
