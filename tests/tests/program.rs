//! The whole program on small job folders: what a person or another program gets to see.

use std::path::Path;

use pairwright::Exit;
use pairwright_tests::folder::{Ran, folder, pairwright};
use serde_json::Value;

const HEAD: &str = "title = \"A twin\"\nunits = \"mm\"\n[stock]\npiston = \"pistons.csv\"\n";
const EVEN: &str = "[[match]]\nplace = \"piston\"\neven = \"deck\"\n";
const PISTONS: &str = "id,at\nA,1\nB,2\nC,\n";

/// `match` in JSON on a job with these banks and readings.
fn matched(banks: &str, readings_section: &str, readings: &str, options: &[&str]) -> Ran {
    let job = format!("{HEAD}[banks]\n{banks}\n[readings]\ndeck = {readings_section}\n{EVEN}");
    let job = folder(&[("job.toml", &job), ("pistons.csv", PISTONS), ("readings.csv", readings)]);
    pairwright("match", job.path(), options)
}

fn json(ran: &Ran) -> Value {
    serde_json::from_str(&ran.out).unwrap_or_else(|error| panic!("{error}: {ran:?}"))
}

fn demo(name: &str, options: &[&str]) -> Ran {
    pairwright("match", &Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets").join(name), options)
}

const TIED: &str = "cylinder,piston,reading\n1,A,0.10\n1,B,0.14\n1,C,0.18\n2,A,0.06\n2,A,0.07\n";

#[test]
fn json_has_the_keys_that_other_programs_rely_on() {
    let ran = demo("tarn-v8", &["--format", "json"]);
    assert_eq!(ran.exit, Exit::Done);
    let value = json(&ran);
    assert_eq!(value["format"], 1);
    assert_eq!(
        (value["job"]["title"].as_str(), value["job"]["units"].as_str()),
        (Some("Tarn V8, workboat refit"), Some("in"))
    );
    let found = &value["matches"][0];
    assert_eq!((found["name"].as_str(), found["outcome"].as_str()), (Some("short block"), Some("proven")));
    assert_eq!(found["spread"]["unit"], "1");
    for key in ["value", "low", "high"] {
        assert!(found["expected_spread"][key].is_f64(), "{key}");
    }
    assert!(found["as_found"]["value"].as_f64() > found["spread"]["value"].as_f64());
    let placements = found["placements"].as_array().expect("placements");
    let positions: Vec<&str> = placements.iter().filter_map(|placement| placement["position"].as_str()).collect();
    assert_eq!(positions, ["1", "3", "5", "7", "2", "4", "6", "8"]);
    let mut values = Vec::new();
    for placement in placements {
        assert!(placement["bank"].is_string());
        for role in ["piston", "rod", "head", "gasket"] {
            assert!(placement["parts"][role].is_string(), "{role} of {placement}");
        }
        for fit in ["deck", "piston_to_head", "clearance_volume", "compression", "skirt", "mass"] {
            let fit = &placement["fits"][fit];
            let number = |key: &str| fit[key].as_f64().unwrap_or_else(|| panic!("{key} of {fit}"));
            assert!(number("low") <= number("value") && number("value") <= number("high") && number("u") > 0.0);
            assert!(fit["unit"].is_string());
        }
        values.push(placement["fits"]["compression"]["value"].as_f64().expect("a number"));
    }
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    assert!((high - low - found["spread"]["value"].as_f64().expect("a number")).abs() < 1e-9);
    assert_eq!(found["left_out"].as_array().map(Vec::len), Some(3));
    assert!(found["limits"].as_array().expect("limits").iter().all(|limit| limit["state"] == "held"));
    assert!(value["cautions"].as_array().is_some_and(|cautions| cautions.len() >= 5));
}

#[test]
fn the_demo_finds_its_misread_reading() {
    let ran = demo("tarn-v8", &[]);
    assert_eq!(ran.exit, Exit::Done);
    assert!(ran.out.contains("line 15: piston C in cylinder 5"), "{}", ran.out);
    assert!(ran.err.is_empty(), "{}", ran.err);
}

#[test]
fn the_frozen_copy_and_the_metric_six_are_proven() {
    for name in ["tarn-deck", "fell-six"] {
        let ran = demo(name, &["--format", "json"]);
        assert_eq!((ran.exit, json(&ran)["matches"][0]["outcome"].as_str()), (Exit::Done, Some("proven")), "{name}");
    }
}

#[test]
fn text_never_shows_a_bare_sign_for_deck_clearance() {
    for name in ["tarn-v8", "fell-six"] {
        let out = demo(name, &[]).out;
        assert!(out.contains(" below"), "{name}");
        assert!(!out.contains(" -0.") && !out.contains(" +0."), "{name}: {out}");
    }
}

#[test]
fn csv_has_a_row_a_placement() {
    let ran = demo("tarn-v8", &["--format", "csv"]);
    let mut reader = csv::Reader::from_reader(ran.out.as_bytes());
    let header = reader.headers().expect("a header").clone();
    for column in ["position", "bank", "piston"] {
        assert!(header.iter().any(|name| name == column), "{header:?}");
    }
    assert_eq!(reader.records().filter_map(Result::ok).count(), 8);
}

#[test]
fn disconnected_readings_say_which_reading_would_tie_them() {
    let apart = "cylinder,piston,reading\n1,A,0.10\n1,B,0.14\n2,C,0.06\n";
    let ran = matched("row = [1, 2]", "\"readings.csv\"", apart, &[]);
    insta::assert_snapshot!("disconnected_readings", format!("{:?}\n{}", ran.exit, ran.out));
}

#[test]
fn a_spare_piston_that_was_not_read_is_named_and_does_not_stop_a_match() {
    let job = format!("{HEAD}[banks]\nrow = [1, 2]\n[readings]\ndeck = \"readings.csv\"\n{EVEN}");
    let without_c = TIED.replace("1,C,0.18\n", "");
    let job = folder(&[("job.toml", &job), ("pistons.csv", PISTONS), ("readings.csv", &without_c)]);
    let checked = pairwright("check", job.path(), &[]);
    assert_eq!(checked.exit, Exit::Done);
    let wish = "For a wider choice:\n  read piston C in cylinder 1, which no reading has yet\n";
    assert!(
        checked.out.contains(wish) || checked.out.contains(&wish.replace("cylinder 1", "cylinder 2")),
        "{}",
        checked.out
    );
    let matched = pairwright("match", job.path(), &[]);
    assert_eq!(matched.exit, Exit::Done);
    assert!(matched.out.contains("Piston C is not considered: no reading tells what to expect."), "{}", matched.out);
}

#[test]
fn equal_readings_throughout_are_called_odd() {
    let equal = "cylinder,piston,reading\n1,A,0.10\n1,B,0.10\n1,C,0.10\n2,A,0.10\n";
    let ran = matched("row = [1, 2]", "\"readings.csv\"", equal, &[]);
    insta::assert_snapshot!("equal_readings", format!("{:?}\n{}", ran.exit, ran.out));
}

#[test]
fn a_gauge_read_the_other_way_round_gives_the_same_plan() {
    let above = json(&matched("row = [1, 2]", "\"readings.csv\"", TIED, &["--format", "json"]));
    let turned = TIED.replace(",0.", ",-0.");
    let section = "{ file = \"readings.csv\", positive = \"below\" }";
    let below = json(&matched("row = [1, 2]", section, &turned, &["--format", "json"]));
    assert_eq!(above["matches"][0]["placements"], below["matches"][0]["placements"]);
}

#[test]
fn an_unread_cylinder_of_a_straight_deck_is_predicted_and_marked() {
    let banks = "row = { cylinders = [1, 2, 3], straight = true, form = \"0.01 mm\" }";
    let readings = "cylinder,piston,reading\n1,A,0.10\n1,B,0.14\n1,C,0.18\n3,A,0.06\n";
    let ran = matched(banks, "{ file = \"readings.csv\", repeatability = 0.005 }", readings, &["--format", "json"]);
    let value = json(&ran);
    let placements = value["matches"][0]["placements"].as_array().expect("placements");
    let u = |at: usize| placements[at]["fits"]["deck"]["u"].as_f64().expect("a number");
    assert!(u(1) > u(0) && u(1) > u(2), "the unread middle is known less well: {value}");
    // Halfway between 0.10 and 0.06 for piston A, 0.04 more for B, 0.08 more for C.
    let part = placements[1]["parts"]["piston"].as_str().expect("a label");
    let expected = 0.08
        + match part {
            "A" => 0.0,
            "B" => 0.04,
            _ => 0.08,
        };
    let found = placements[1]["fits"]["deck"]["value"].as_f64().expect("a number");
    assert!((found - expected).abs() < 1e-5, "{part} {found}");

    let bent = matched("row = [1, 2, 3]", "\"readings.csv\"", readings, &[]);
    assert_eq!(bent.exit, Exit::NotHeld, "nothing says that the deck is straight");
}

#[test]
fn readings_on_another_rod_are_brought_to_the_control_rod() {
    let head = HEAD.replace("[stock]", "[stock]\nrod = \"rods.csv\"");
    let section = "[readings]\ndeck = { file = \"readings.csv\", rod = \"R1\" }\n";
    let job = format!("{head}[banks]\nrow = [1, 2]\n{section}{EVEN}");
    let rods = "id,length_mm\nR1,150.00\nR2,150.03\n";
    let run = |readings: &str| {
        let files =
            [("job.toml", job.as_str()), ("pistons.csv", PISTONS), ("rods.csv", rods), ("readings.csv", readings)];
        json(&pairwright("match", folder(&files).path(), &["--format", "json"]))
    };
    let on_control = run("cylinder,piston,reading,rod\n1,A,0.10,R1\n1,B,0.14,\n1,C,0.18,R1\n2,A,0.06,R1\n2,A,0.07,\n");
    // The longer rod lifts the piston by 0.03 mm.
    let on_other =
        run("cylinder,piston,reading,rod\n1,A,0.13,R2\n1,B,0.14,R1\n1,C,0.21,R2\n2,A,0.09,R2\n2,A,0.07,R1\n");
    let (same, other) = (&on_control["matches"][0]["placements"], &on_other["matches"][0]["placements"]);
    for at in 0..2 {
        let deck = |placements: &Value, key: &str| placements[at]["fits"]["deck"][key].as_f64();
        assert_eq!(same[at]["parts"], other[at]["parts"]);
        assert_eq!(deck(same, "value"), deck(other, "value"));
        // The lengths of the rods are themselves known only so well.
        assert!(deck(other, "u") > deck(same, "u"), "{other}");
    }
}

#[test]
fn spots_are_averaged_not_taken_for_repeats() {
    let section = "{ file = \"readings.csv\", repeatability = 0.005 }";
    let rock = "cylinder,piston,reading,spot\n1,A,0.08,front\n1,A,0.12,rear\n1,B,0.12,front\n1,B,0.16,rear\n\
        1,C,0.16,front\n1,C,0.20,rear\n2,A,0.04,front\n2,A,0.08,rear\n";
    let value = json(&matched("row = [1, 2]", section, rock, &["--format", "json"]));
    let flat = json(&matched(
        "row = [1, 2]",
        section,
        "cylinder,piston,reading\n1,A,0.10\n1,B,0.14\n1,C,0.18\n2,A,0.06\n",
        &["--format", "json"],
    ));
    let deck = |value: &Value, at: usize| value["matches"][0]["placements"][at]["fits"]["deck"]["value"].as_f64();
    assert_eq!((deck(&value, 0), deck(&value, 1)), (deck(&flat, 0), deck(&flat, 1)));
    let findings = value["readings"]["findings"].to_string();
    assert!(!findings.contains("disagree"), "rock is no disagreement: {findings}");
}

#[test]
fn a_kept_part_stays_and_a_barred_one_goes_elsewhere() {
    let pins = |extra: &str| {
        let job = format!("{HEAD}[banks]\nrow = [1, 2]\n[readings]\ndeck = \"readings.csv\"\n{EVEN}{extra}\n");
        let job = folder(&[("job.toml", &job), ("pistons.csv", PISTONS), ("readings.csv", TIED)]);
        let value = json(&pairwright("match", job.path(), &["--format", "json"]));
        let part =
            |at: usize| value["matches"][0]["placements"][at]["parts"]["piston"].as_str().unwrap_or("").to_owned();
        [part(0), part(1)]
    };
    // A and B where they stand are as even as B and C; nothing has to move.
    assert_eq!(pins(""), ["A", "B"]);
    assert_eq!(pins("bar = { \"2\" = [\"B\"] }"), ["B", "C"]);
    assert_eq!(pins("keep = { \"2\" = \"A\" }")[1], "A");
}

#[test]
fn a_joint_plan_is_rechecked_too() {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets/tarn-v8");
    let folder = folder(&[]);
    let file = folder.path().join("plan.txt");
    let path = file.to_str().expect("a path of the test");
    assert_eq!(pairwright("match", &demo, &["--proof", path]).exit, Exit::Done);
    let good = pairwright("recheck", &demo, &[path]);
    assert_eq!((good.exit, good.err.as_str()), (Exit::Done, ""));
    assert!(good.out.contains("the proof holds for 3 of 3 "), "{}", good.out);
    let text = std::fs::read_to_string(&file).expect("written");
    for (from, to) in
        [("head H3", "head H1"), ("gasket thick", "gasket thin"), ("\nsplit ", "\nshort "), ("rod R3", "rod R9")]
    {
        let changed = text.replacen(from, to, 1);
        assert_ne!(changed, text, "{from}");
        let other = folder.path().join("changed.txt");
        std::fs::write(&other, changed).expect("written");
        let refused = pairwright("recheck", &demo, &[other.to_str().expect("a path")]);
        assert!(refused.exit != Exit::Done && !refused.err.is_empty(), "{from} -> {to}: {}", refused.out);
    }
}

/// A copy of a demo job in a new folder, with changes to its job file.
fn copied(name: &str, changes: &[(&str, &str)]) -> tempfile::TempDir {
    let copy = folder(&[]);
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets").join(name);
    for entry in std::fs::read_dir(demo).expect("a demo") {
        let entry = entry.expect("a file");
        std::fs::copy(entry.path(), copy.path().join(entry.file_name())).expect("copied");
    }
    edit(&copy.path().join("job.toml"), changes);
    copy
}

/// Replaces text that has to be there.
fn edit(file: &Path, changes: &[(&str, &str)]) {
    let mut text = std::fs::read_to_string(file).expect("a text");
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    std::fs::write(file, text).expect("written");
}

/// A proof that there is no plan: written with what it is about, gone over, and refused in every way it may be changed.
fn assert_rechecked_without_plan(job: &Path, said: &str, changes: &[(&str, &str)]) -> String {
    let file = job.join("proof.txt");
    let path = file.to_str().expect("a path of the test");
    let ran = pairwright("match", job, &["--proof", path]);
    assert_eq!(ran.exit, Exit::NotHeld, "{ran:?}");
    assert!(ran.out.split_whitespace().collect::<Vec<_>>().join(" ").contains("The proof"), "{}", ran.out);
    let good = pairwright("recheck", job, &[path]);
    assert_eq!((good.exit, good.err.as_str()), (Exit::Done, ""));
    assert!(good.out.contains(said), "{}", good.out);
    let text = std::fs::read_to_string(&file).expect("written");
    for (from, to) in changes {
        let changed = text.replacen(from, to, 1);
        assert_ne!(changed, text, "{from}: {text}");
        let other = job.join("changed.txt");
        std::fs::write(&other, changed).expect("written");
        let refused = pairwright("recheck", job, &[other.to_str().expect("a path")]);
        assert!(refused.exit != Exit::Done && !refused.err.is_empty(), "{from} -> {to}: {}", refused.out);
        assert!(!refused.out.contains("there is no plan"), "{from} -> {to}: {}", refused.out);
    }
    text
}

#[test]
fn that_there_is_no_joint_plan_is_rechecked_and_a_changed_proof_is_refused() {
    let job = copied("tarn-v8", &[("min = 0.032", "min = 0.057")]);
    let changes = [
        ("cylinder 8", "cylinder 7"),
        ("piston 11", "piston 12"),
        ("rod 10", "rod 9"),
        ("settings 36", "settings 35"),
        ("limit min guarded", "limit min plain"),
        ("limit min guarded", "limit max guarded"),
        ("limit spread guarded 20000 of mass\n", ""),
        ("1447800", "1422400"),
        ("of piston_to_head", "of deck"),
        ("both together", "several of one kind"),
        ("both together", "nothing"),
        ("windows\nto", "like 1\nwindows\nto"),
        ("short first", "total\nshort first"),
        ("short first", "split first"),
        ("match short block", "match long block"),
    ];
    let said = "the proof holds: there is no plan under any of 36 ways to set heads and gaskets";
    let text = assert_rechecked_without_plan(job.path(), said, &changes);
    // Of a job that has a plan nothing of the kind is true, whatever the file says is asked for.
    edit(&job.path().join("job.toml"), &[("min = 0.057", "min = 0.032")]);
    let other = job.path().join("changed.txt");
    let path = other.to_str().expect("a path of the test");
    for (text, why) in [
        (text.clone(), "positions, parts, settings, `spend` or limits are not those of the job"),
        (text.replace("1447800", "812800"), "the checker refuses the proof"),
    ] {
        std::fs::write(&other, text).expect("written");
        let refused = pairwright("recheck", job.path(), &[path]);
        assert!(refused.exit == Exit::NotHeld && refused.err.contains(why), "{refused:?}");
    }
}

#[test]
fn that_there_is_no_plan_is_rechecked_and_a_changed_proof_is_refused() {
    let job = copied("tarn-deck", &[("spread = \"2 g\"", "spread = \"0.2 g\"")]);
    let changes = [
        ("cylinder 8", "cylinder 9"),
        ("piston 11", "piston 8"),
        ("settings 1", "settings 2"),
        ("limit spread", "limit neighbours"),
        ("2000 of mass", "1900 of mass"),
        ("nothing\n", "no proof at all\n"),
        ("nothing\n", "nothing beside neighbours\n"),
        ("slots 0", "slots 1"),
        ("pairwright proof 1", "pairwright proof 2"),
    ];
    let text = assert_rechecked_without_plan(job.path(), "the proof holds: there is no plan", &changes);
    edit(&job.path().join("job.toml"), &[("spread = \"0.2 g\"", "spread = \"2 g\"")]);
    let other = job.path().join("changed.txt");
    std::fs::write(&other, text.replace(" 2000 of mass", " 20000 of mass")).expect("written");
    let refused = pairwright("recheck", job.path(), &[other.to_str().expect("a path")]);
    assert!(refused.exit == Exit::NotHeld && refused.err.contains("the checker refuses"), "{refused:?}");
}

#[test]
fn a_proof_left_out_confirms_nothing() {
    let job = copied("tarn-deck", &[("spread = \"2 g\"", "spread = \"0.2 g\"")]);
    let file = job.path().join("proof.txt");
    let path = file.to_str().expect("a path of the test");
    let _ = pairwright("match", job.path(), &["--proof", path]);
    let text = std::fs::read_to_string(&file).expect("written");
    let (stated, _) = text.split_once("nothing\n").expect("a proof");
    for none in ["unproven\n", "no proof\n"] {
        std::fs::write(&file, stated.to_owned() + none).expect("written");
        let ran = pairwright("recheck", job.path(), &[path]);
        assert!(ran.out.contains("without a proof: nothing is confirmed"), "{ran:?}");
    }
}

#[test]
fn a_plan_is_rechecked_with_its_proof_and_a_changed_one_is_refused() {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets/tarn-deck");
    let folder = folder(&[]);
    let file = folder.path().join("plan.txt");
    let path = file.to_str().expect("a path of the test");
    let written = pairwright("match", &demo, &["--proof", path]);
    assert_eq!(written.exit, Exit::Done);
    let words: Vec<&str> = written.out.split_whitespace().collect();
    assert!(words.join(" ").contains("The proof was checked and covers every criterion."));
    assert_eq!(pairwright("match", &demo, &["--proof", path]).exit, Exit::Wrong, "a file is never overwritten");

    let good = pairwright("recheck", &demo, &[path]);
    assert_eq!((good.exit, good.err.as_str()), (Exit::Done, ""));
    assert!(good.out.contains("the proof holds for 3 of 3 criteria"), "{}", good.out);

    let text = std::fs::read_to_string(&file).expect("written");
    let changes = [
        ("piston H", "piston B"),
        ("piston H", "piston D"),
        ("values 4", "values 3"),
        ("level 4", "level 3"),
        ("slots 7 |", "slots 3 |"),
        ("cylinder 3", "cylinder 9"),
        ("pairwright proof 1", "pairwright proof 2"),
        ("match short block", "match long block"),
    ];
    for (from, to) in changes {
        let changed = text.replacen(from, to, 1);
        assert_ne!(changed, text, "{from}");
        let other = folder.path().join("changed.txt");
        std::fs::write(&other, changed).expect("written");
        let refused = pairwright("recheck", &demo, &[other.to_str().expect("a path")]);
        assert!(refused.exit != Exit::Done && !refused.err.is_empty(), "{from} -> {to}: {}", refused.out);
    }
}

/// What a refused plan says first is what happened, in the words of the trade.
#[test]
fn a_refused_plan_says_what_happened() {
    let job = copied("tarn-v8", &[]);
    let file = job.path().join("plan.txt");
    let path = file.to_str().expect("a path of the test");
    assert_eq!(pairwright("match", job.path(), &["--proof", path]).exit, Exit::Done);
    let text = std::fs::read_to_string(&file).expect("written");
    let changed = job.path().join("changed.txt");
    let told = |text: &str| {
        std::fs::write(&changed, text).expect("written");
        let refused = pairwright("recheck", job.path(), &[changed.to_str().expect("a path")]);
        assert!(refused.exit != Exit::Done, "{refused:?}");
        refused.err
    };
    let rods: Vec<&str> = text.lines().filter(|line| line.starts_with("rod ")).take(2).collect();
    let twice = told(&text.replacen(rods[0], rods[1], 1));
    assert!(twice.contains("a part stands twice in the plan (the checker refuses"), "{twice}");
    assert!(twice.contains("(values are in whole ticks)"), "{twice}");
    let values = text.lines().find(|line| line.starts_with("values ")).expect("there");
    let other = told(&text.replacen(values, &values.replacen("values ", "values 1", 1), 1));
    assert!(other.contains("the plan is not worth what the file says"), "{other}");
    for kept in [text.len() / 2, text.len() - 5] {
        let cut = text.char_indices().map(|(at, _)| at).rfind(|at| *at <= kept).expect("there");
        let cut = told(&text[..cut]);
        assert!(cut.contains("may be cut off"), "{cut}");
    }
    let not_a_plan = told("notes of a Sunday\n");
    assert!(!not_a_plan.contains("cut off"), "{not_a_plan}");

    edit(&job.path().join("job.toml"), &[("min = 0.032", "min = 0.057")]);
    let refused = pairwright("recheck", job.path(), &[path]);
    assert!(refused.exit == Exit::NotHeld, "{refused:?}");
    assert!(!refused.err.contains("heads and gaskets"), "{refused:?}");
}
