//! `compare` as its user meets it.

use std::path::{Path, PathBuf};

use pairwright::Exit;
use pairwright_tests::folder::{Ran, folder, pairwright};
use serde_json::Value;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets/tarn-v8")
}

fn json(ran: &Ran) -> Value {
    serde_json::from_str(&ran.out).expect("JSON")
}

fn names(value: &Value) -> Vec<String> {
    let rows = value["what_ifs"].as_array().expect("rows");
    rows.iter().map(|row| row["name"].as_str().expect("a name").to_owned()).collect()
}

#[test]
fn the_demo_is_compared() {
    let ran = pairwright("compare", &demo(), &[]);
    assert_eq!((ran.exit, ran.err.as_str()), (Exit::Done, ""));
    insta::assert_snapshot!(ran.out.replace('\u{a0}', " "));
    assert_eq!(pairwright("compare", &demo(), &[]), ran, "same seed, same bytes");
}

#[test]
fn the_job_as_it_stands_is_the_plan_of_match() {
    let compared = json(&pairwright("compare", &demo(), &["--format", "json"]));
    let matched = json(&pairwright("match", &demo(), &["--format", "json"]));
    let (row, plan) = (&compared["as_it_stands"], &matched["matches"][0]);
    for key in ["spread", "mean", "expected_spread", "settings", "placements", "limits", "moves"] {
        assert_eq!(row["plan"][key], plan[key], "{key}");
    }
    assert_eq!((&row["outcome"], &row["proof"]), (&plan["outcome"], &plan["proof"]));
    // As found, the values are those that match tells of.
    assert_eq!(compared["as_found"]["plan"]["spread"]["value"], plan["as_found"]["value"]);
    assert_eq!(row["measure"], plan["spread"]);
    for row in compared["what_ifs"].as_array().expect("rows") {
        let gain = row["gain"]["value"].as_f64().expect("a plan");
        let by = compared["as_it_stands"]["measure"]["value"].as_f64().expect("a plan")
            - row["measure"]["value"].as_f64().expect("a plan");
        assert!((gain - by).abs() < 1e-9, "{row}");
    }
}

#[test]
fn rows_are_picked_and_sorted() {
    let of = |options: &[&str]| {
        let mut all = vec!["--format", "json"];
        all.extend(options);
        names(&json(&pairwright("compare", &demo(), &all)))
    };
    let all = of(&[]);
    assert_eq!(all.len(), 5);
    assert_eq!(of(&["--only", "decks squared"]), ["decks squared"]);
    let sorted = of(&["--sort", "price"]);
    assert_eq!(sorted.len(), 5);
    assert_eq!(sorted[3..], ["decks squared", "squared, chambers opened"]);
    let by_aim = json(&pairwright("compare", &demo(), &["--format", "json", "--sort", "aim"]));
    let measures: Vec<f64> = by_aim["what_ifs"]
        .as_array()
        .expect("rows")
        .iter()
        .map(|row| row["measure"]["value"].as_f64().expect("a plan"))
        .collect();
    assert!(measures.is_sorted(), "{measures:?}");
    let wrong = pairwright("compare", &demo(), &["--only", "no such"]);
    assert_eq!(wrong.exit, Exit::Wrong);
    assert!(wrong.err.contains("`heads swapped`"), "{}", wrong.err);
}

fn at_starting(header: &csv::StringRecord, name: &str) -> usize {
    header.iter().position(|column| column.starts_with(name)).expect("the column")
}

#[test]
fn the_spreadsheet_has_a_row_for_every_plan() {
    let ran = pairwright("compare", &demo(), &["--format", "csv"]);
    let mut reader = csv::Reader::from_reader(ran.out.as_bytes());
    let header = reader.headers().expect("a header").clone();
    let at = |name: &str| header.iter().position(|column| column == name).unwrap_or_else(|| panic!("{header:?}"));
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    assert_eq!(rows.len(), 7);
    assert_eq!([&rows[0][at("what_if")], &rows[0][at("outcome")]], ["as found"; 2]);
    assert_eq!(&rows[1][at("what_if")], "as it stands");
    // 220 for the decks and 58 for two gaskets.
    assert_eq!(&rows[5][at("price")], "278");
    assert!(rows[1..].iter().all(|row| &row[at("outcome")] == "proven"));
    let text = pairwright("compare", &demo(), &[]).out;
    let found =
        text.lines().find(|line| line.contains("as\u{a0}found") || line.starts_with("as found")).expect("a row");
    let measure: f64 = rows[0][at_starting(&header, "measure")].parse().expect("a number");
    assert!(found.contains(&format!("{measure:.3}")) || found.contains(&format!("{measure:.4}")), "{found}: {measure}");
    assert!([at("price"), at("hours"), at("unbeaten")].iter().all(|&column| rows[0][column].is_empty()));
}

const JOB: &str = r#"title = "Three in a row"
units = "mm"

[banks]
row = [1, 2, 3]

[stock]
piston = "pistons.csv"

[readings]
deck = { file = "readings.csv", repeatability = 0.002 }

[[match]]
place = "piston"
even = "deck"

[[what_if]]
name = "too tight"
limits = { deck = { max = -1.0 } }

[[what_if]]
name = "squared"
deck = { row = "square" }

[[what_if]]
name = "mass wanted"
even = "mass"
"#;

/// Decks that slope by 0.02 mm a cylinder and lie 0.003 mm off their line in the middle; pistons that differ little.
const READINGS: &str = "cylinder,piston,reading\n1,A,-0.100\n2,A,-0.083\n3,A,-0.060\n1,B,-0.101\n1,C,-0.102\n";

fn three() -> tempfile::TempDir {
    folder(&[("job.toml", JOB), ("pistons.csv", "id\nA\nB\nC\n"), ("readings.csv", READINGS)])
}

#[test]
fn a_what_if_without_a_plan_says_why_and_hides_none_of_the_others() {
    let job = three();
    let ran = pairwright("compare", job.path(), &[]);
    assert_eq!(ran.exit, Exit::Done);
    insta::assert_snapshot!(ran.out.replace('\u{a0}', " "));
    let rows = json(&pairwright("compare", job.path(), &["--format", "json"]));
    let outcomes: Vec<&str> =
        rows["what_ifs"].as_array().expect("rows").iter().map(|row| row["outcome"].as_str().expect("a word")).collect();
    assert_eq!(outcomes, ["impossible", "proven", "missing"]);
}

/// No name is broken over lines in a table: the what-ifs are numbered where they do not fit, and only there.
#[test]
fn names_that_are_too_long_for_the_table_stand_below_it() {
    let long = "the deck squared after the block was bored and honed again by the machine shop down the road";
    let job = three();
    let path = job.path().join("job.toml");
    std::fs::write(&path, JOB.replace("\"squared\"", &format!("\"{long}\""))).expect("written");
    let ran = pairwright("compare", job.path(), &["--headroom"]);
    let (table, below) = ran.out.split_once("What each one buys").expect("two parts");
    assert!(!table.contains("squared") && !table.contains("mass wanted"), "{table}");
    for number in ["1", "2", "3"] {
        let rows = table.lines().filter(|line| line.split_whitespace().next() == Some(number)).count();
        assert_eq!(rows, 2, "{table}");
    }
    let below = below.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(below.contains(&format!(" 2 {long} (")) && below.contains(" 3 mass wanted ("), "{below}");
    let short = pairwright("compare", &demo(), &[]);
    assert!(!short.out.contains("by their numbers"), "{}", short.out);
}

/// What a job holds beside its parts is counted, too.
#[test]
fn check_counts_pours_clearances_and_what_ifs() {
    let ran = pairwright("check", &demo(), &[]);
    let rows = |file: &str| {
        let text = std::fs::read_to_string(demo().join(file)).expect("the demo's file");
        text.lines().skip(1).filter(|line| !line.trim().is_empty()).count()
    };
    let job = std::fs::read_to_string(demo().join("job.toml")).expect("the demo's file");
    let what_ifs = job.matches("[[what_if]]").count();
    let wanted = [
        format!("  {} pours in chamber-readings.csv\n", rows("chamber-readings.csv")),
        format!("  {} measured clearances in clearances.csv\n", rows("clearances.csv")),
        format!("  {what_ifs} what-ifs\n"),
    ];
    for line in wanted {
        assert!(ran.out.contains(&line), "{line}: {}", ran.out);
    }
}

#[test]
fn a_squared_deck_has_no_slope_and_keeps_what_departs_from_its_line() {
    let job = three();
    let ran = pairwright("compare", job.path(), &["--only", "squared", "--format", "json"]);
    let plan = &json(&ran)["what_ifs"][0]["plan"];
    let value = |at: usize| {
        let place = &plan["placements"][at];
        let piston = place["parts"]["piston"].as_str().expect("a piston");
        let off = ["A", "B", "C"].iter().position(|id| *id == piston).expect("one of three") as f64 * -0.001;
        place["fits"]["deck"]["value"].as_f64().expect("a value") - off
    };
    // Slope by least squares over 1, 2, 3: (−0.060 + 0.100) / 2 = 0.020 a cylinder; the lowest point, cylinder 3, keeps its
    // metal: cylinder 1 loses 0.040 and cylinder 2 0.020. What is left is −0.060, −0.063, −0.060.
    let left: Vec<f64> = (0..3).map(value).collect();
    for (left, worked) in left.iter().zip([-0.060, -0.063, -0.060]) {
        assert!((left - worked).abs() < 2e-6, "{left} {worked}");
    }
}

#[test]
fn the_cheaper_of_two_equals_is_unbeaten_and_the_dearer_is_not() {
    let more = format!("{JOB}\n[[what_if]]\nname = \"squared elsewhere\"\ndeck = {{ row = \"square\" }}\nprice = 80\n");
    let job = folder(&[("job.toml", &more), ("pistons.csv", "id\nA\nB\nC\n"), ("readings.csv", READINGS)]);
    let rows = json(&pairwright("compare", job.path(), &["--format", "json"]));
    let unbeaten = |at: usize| rows["what_ifs"][at]["unbeaten"].as_bool().expect("a flag");
    assert_eq!([unbeaten(0), unbeaten(1), unbeaten(3)], [false, true, false]);
    assert_eq!(rows["as_it_stands"]["unbeaten"], false, "squared is better and free");
}

#[test]
fn headroom_is_said_plan_by_plan() {
    let plain = pairwright("compare", &demo(), &["--only", "decks squared"]);
    let ran = pairwright("compare", &demo(), &["--only", "decks squared", "--headroom"]);
    // It stands between what each one buys and how to read it: the cautions stay last.
    let (before, after) = plain.out.split_once("\nHow to read this").expect("the section");
    let added = ran.out.strip_prefix(before).expect("the page begins as before");
    let added = added.split_once("\nHow to read this").expect("the section");
    assert_eq!(added.1, after);
    let added = added.0.replace('\u{a0}', " ");
    for (name, times) in [("as it stands\n----", 1), ("decks squared\n----", 1), ("What stops the engine first", 2)] {
        assert_eq!(added.matches(name).count(), times, "{name}\n{added}");
    }
    // Each plan leaves room of its own: a squared deck brings pistons nearer to the valves.
    let rows = json(&pairwright("compare", &demo(), &["--only", "decks squared", "--format", "json"]));
    let gasket = |row: &Value| {
        let stops = row["clearances"]["stops"].as_array().expect("a ledger").clone();
        let stop = stops.iter().find(|stop| stop["change"] == "less_gasket").expect("something stops it").clone();
        stop["at"]["value"].as_f64().expect("a length")
    };
    let (stands, squared) = (gasket(&rows["as_it_stands"]), gasket(&rows["what_ifs"][0]));
    assert!(squared < stands, "{squared} {stands}");
}

/// The demo with other what-ifs.
fn demo_with(what_ifs: &str) -> tempfile::TempDir {
    demo_changed(|name, text| {
        if name != "job.toml" {
            return text;
        }
        let (job, _) = text.split_once("[[what_if]]").expect("the demo has what-ifs");
        job.to_owned() + what_ifs
    })
}

/// The demo with its files changed.
fn demo_changed(change: impl Fn(&str, String) -> String) -> tempfile::TempDir {
    let demo = std::fs::read_dir(demo()).expect("the demo").map(|entry| entry.expect("a file").path());
    let files = demo.filter(|path| path.extension().is_some_and(|end| end == "toml" || end == "csv"));
    let files: Vec<(String, String)> = files
        .map(|path| {
            let name = path.file_name().and_then(|name| name.to_str()).expect("a plain name").to_owned();
            let text = std::fs::read_to_string(&path).expect("text");
            let text = change(&name, text);
            (name, text)
        })
        .collect();
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    folder(&files)
}

/// Clearances that were read with heads which the plan does not use say so under the answer, not only far below it; where
/// they do not say with which head they were read, a caution does.
#[test]
fn clearances_of_other_heads_are_said_to_be_open_right_away() {
    const OPEN: &str = "measured clearances have to be measured again: see Clearances before you build.";
    const UNKNOWN: &str = "Some clearances do not say with which head they were read";
    let with_heads = demo_changed(|name, text| {
        if name != "clearances.csv" {
            return text;
        }
        let lines: Vec<String> = text.lines().map(|line| format!("{line},H1")).collect();
        lines.join("\n").replacen(",H1", ",head", 1) + "\n"
    });
    let plain = |ran: &Ran| ran.out.replace('\u{a0}', " ").split_whitespace().collect::<Vec<_>>().join(" ");
    let (known, unknown) = (pairwright("match", with_heads.path(), &[]), pairwright("match", &demo(), &[]));
    assert_eq!([known.exit, unknown.exit], [Exit::NotHeld, Exit::Done]);
    let (known, unknown) = (plain(&known), plain(&unknown));
    let (answer, _) = known.split_once("What goes where").expect("the answer comes first");
    assert!(answer.contains(OPEN), "{answer}");
    assert!(!known.contains(UNKNOWN) && unknown.contains(UNKNOWN) && !unknown.contains(OPEN));
}

/// A longer stroke makes the clearances of the mock-up worth nothing until they are measured again: nothing recommends it, however
/// even it is for no money.
#[test]
fn a_plan_that_leaves_a_clearance_open_is_never_unbeaten() {
    let longer = demo_with("[[what_if]]\nname = \"longer stroke\"\nstroke = 3.440\n");
    let rows = json(&pairwright("compare", longer.path(), &["--format", "json"]));
    let (stands, longer) = (&rows["as_it_stands"], &rows["what_ifs"][0]);
    assert_eq!([&stands["held"], &stands["unbeaten"]], [true, true]);
    assert_eq!([&longer["held"], &longer["unbeaten"]], [false, false]);
}

/// Every sort of change is told in words.
#[test]
fn what_a_what_if_changes_is_said() {
    let what_ifs = r#"
[[what_if]]
name = "parts"
fix = { piston = { "1" = "B" }, head = { left = "H2" } }
without = { rod = ["R9"] }
crown = { A = { cut = 0.002, dish_diameter = 2.4 }, F = { cut = 0.001, dish_cc = 3.1 } }
chamber = { H1 = "-0.2 cc" }

[[what_if]]
name = "wishes"
near = { fit = "compression", value = 9.9 }
then = ["mass", "moves"]
limits = { piston_to_head = { min = 0.030, guard = false }, compression = { max = 10.5, neighbours = 0.2 } }

[[what_if]]
name = "metal"
stroke = 3.440
deck = { left = { square = true, cut = 0.002 }, right = 0.001 }
"#;
    let ran = pairwright("compare", demo_with(what_ifs).path(), &[]);
    assert_eq!((ran.exit, ran.err.as_str()), (Exit::Done, ""));
    let (_, behind) = ran.out.split_once("What each one buys").expect("the section");
    let (said, _) = behind.split_once("How to read this").expect("the next");
    insta::assert_snapshot!(said.replace('\u{a0}', " "));
}
