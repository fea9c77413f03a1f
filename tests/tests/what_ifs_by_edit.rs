//! What-ifs against copies of a job whose files are edited and matched afresh, byte for byte of what matters.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use pairwright::Exit;
use pairwright_tests::folder::{folder, pairwright};
use serde_json::Value;

/// The files of a job: names and texts.
type Files = Vec<(String, String)>;

fn dataset(name: &str) -> Files {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets").join(name);
    let files = fs::read_dir(path).expect("the dataset").map(|entry| entry.expect("a file").path());
    let wanted = files.filter(|path| path.extension().is_some_and(|end| end == "toml" || end == "csv"));
    let named = |path: &Path| path.file_name().and_then(|name| name.to_str()).expect("plain names").to_owned();
    wanted.map(|path| (named(&path), fs::read_to_string(&path).expect("text"))).collect()
}

/// The files with one of them changed.
fn edited(files: &Files, name: &str, change: impl Fn(&str) -> String) -> Files {
    let change = |(file, text): &(String, String)| {
        let text = if file == name { change(text) } else { text.clone() };
        (file.clone(), text)
    };
    files.iter().map(change).collect()
}

/// The rows of a CSV file, each changed; the header too, as row 0.
fn rows(text: &str, change: impl Fn(usize, &mut Vec<String>)) -> String {
    let mut out = String::new();
    for (at, line) in text.lines().enumerate() {
        let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
        change(at, &mut cells);
        let _ = writeln!(out, "{}", cells.join(","));
    }
    out
}

fn answer(command: &str, files: &Files, options: &[&str]) -> Value {
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    let job = folder(&files);
    let ran = pairwright(command, job.path(), &[&["--format", "json"], options].concat());
    assert_eq!((ran.exit, ran.err.as_str()), (Exit::Done, ""), "{}", ran.out);
    serde_json::from_str(&ran.out).expect("JSON")
}

/// The plan of a what-if, after the same plan was seen for the files that are edited.
fn same(files: &Files, what_if: &str, by_hand: &Files) -> Value {
    let section = format!("\n[[what_if]]\nname = \"tried\"\n{what_if}\n");
    let asked = edited(files, "job.toml", |text| text.to_owned() + &section);
    let mut compared = answer("compare", &asked, &["--only", "tried"]);
    let matched = answer("match", by_hand, &[]);
    let afresh = &matched["matches"][0];
    let row = &compared["what_ifs"][0];
    for key in ["placements", "settings", "spread", "expected_spread", "limits", "moves", "left_out"] {
        assert_eq!(row["plan"][key], afresh[key], "{key} under {what_if}");
    }
    assert_eq!((&row["outcome"], &row["proof"]), (&afresh["outcome"], &afresh["proof"]), "{what_if}");
    compared["what_ifs"][0]["plan"].take()
}

fn value(plan: &Value, position: usize, fit: &str) -> f64 {
    plan["placements"][position]["fits"][fit]["value"].as_f64().expect("a value")
}

#[test]
fn another_cam_is_another_column_of_lobe_lifts() {
    let files = dataset("tarn-rockers");
    let lobes = |to: &str, only: Option<&str>| {
        edited(&files, "valves.csv", |text| {
            let at = text.lines().next().expect("a header").split(',').position(|name| name == "lobe_lift");
            let at = at.expect("the column");
            rows(text, |row, cells| {
                if row > 0 && only.is_none_or(|only| cells[0] == only) {
                    to.clone_into(&mut cells[at]);
                }
            })
        })
    };
    let stands = answer("match", &files, &[])["matches"][0].take();
    let whole = same(&files, "lobe_lift = 0.2900", &lobes("0.2900", None));
    assert!(value(&whole, 0, "lift") < value(&stands, 0, "lift"), "a lower lobe");
    let one = same(&files, "lobe_lift = { \"1i\" = 0.2900 }", &lobes("0.2900", Some("1i")));
    assert_ne!(one["placements"], stands["placements"]);
}

/// A column `fits` that keeps piston F out.
fn without_piston(files: &Files) -> Files {
    edited(files, "pistons.csv", |text| {
        rows(text, |row, cells| {
            let fits = match cells[0].as_str() {
                _ if row == 0 => "fits",
                "F" => "none",
                _ => "",
            };
            cells.push(fits.to_owned());
        })
    })
}

#[test]
fn a_piston_less_or_more_is_a_word_in_its_fits() {
    let files = dataset("tarn-deck");
    let fewer = without_piston(&files);
    let plan = same(&files, "without = { piston = [\"F\"] }", &fewer);
    let used = |plan: &Value| plan["placements"].to_string().contains("\"piston\":\"F\"");
    assert!(!used(&plan), "{plan}");
    let plan = same(&fewer, "add = { piston = [\"F\"] }", &files);
    assert!(used(&plan), "the plan of the whole stock has it: {plan}");
}

#[test]
fn more_rods_are_rows_of_their_file() {
    let demo = dataset("tarn-v8");
    let more = "id,length_in,mass_g,at,note\nR20,6.1254,641.0,,\nR21,6.1250,641.4,,\n";
    let mut asked = demo.clone();
    asked.push(("more-rods.csv".to_owned(), more.to_owned()));
    let by_hand =
        edited(&demo, "rods.csv", |text| text.to_owned() + more.split_once('\n').expect("a header and rows").1);
    same(&asked, "add = { rod = \"more-rods.csv\" }", &by_hand);
}

/// Liners stand within 0.05 mm of their neighbours (TM 9-2815-260-24 Table 5-11), asked here of the pistons on a deck.
#[test]
fn a_printed_limit_on_neighbours_may_be_tried() {
    let files = dataset("tarn-deck");
    let limits = |text: &str| {
        let (from, to) =
            ("{ spread = \"2 g\" } }", "{ spread = \"2 g\" }, deck = { neighbours = \"0.05 mm\", guard = false } }");
        assert!(text.contains(from));
        text.replace(from, to)
    };
    let by_hand = edited(&files, "job.toml", limits);
    let plan = same(&files, "limits = { deck = { neighbours = \"0.05 mm\", guard = false } }", &by_hand);
    for bank in [0..4, 4..8] {
        let decks: Vec<f64> = bank.map(|at| value(&plan, at, "deck") * 25.4).collect();
        assert!(decks.windows(2).all(|two| (two[0] - two[1]).abs() <= 0.05 + 1e-9), "{decks:?}");
    }
}

const MAINS: &str = "units = \"in\"\n\n[stock]\nshell = \"shells.csv\"\n\n[positions]\njournal = \"journals.csv\"\n\n\
[fit.clearance]\nplus = [\"journal.room\"]\nminus = [\"shell.thickness\"]\n\n\
[[match]]\nplace = \"shell\"\npositions = \"journal\"\nnear = { fit = \"clearance\", value = 0.0020 }\n";

/// Clearances of mains next to each other differ by 0.001 in at most (TM 5-6115-593-34).
#[test]
fn a_printed_limit_on_adjacent_bearings_may_be_tried() {
    let text = |text: &str| text.to_owned();
    let files: Files = vec![
        ("job.toml".to_owned(), text(MAINS)),
        ("journals.csv".to_owned(), text("journal,room\n1,0.1010\n2,0.1022\n3,0.1019\n")),
        ("shells.csv".to_owned(), text("id,thickness\nA,0.0990\nB,0.0998\nC,0.0994\nD,0.1002\nE,0.0985\n")),
    ];
    let limit = "limits = { clearance = { neighbours = 0.001, guard = false } }\n";
    let plan = same(&files, limit, &edited(&files, "job.toml", |text| text.to_owned() + limit));
    let apart = |at: usize| (value(&plan, at, "clearance") - value(&plan, at + 1, "clearance")).abs();
    assert!(apart(0) <= 0.001 + 1e-12 && apart(1) <= 0.001 + 1e-12, "{plan}");
}

/// What a little more would do is what the planned parts come to in files with so much more.
#[test]
fn a_little_more_is_the_plan_in_edited_files() {
    let demo =
        edited(&dataset("tarn-v8"), "job.toml", |text| text.split("[[what_if]]").next().expect("a job").to_owned());
    let plan = answer("match", &demo, &[])["matches"][0].take();
    let mut keep = String::from("keep = { gasket = \"");
    let settings = plan["settings"].as_array().expect("heads and a gasket");
    let of = |role: &'static str| settings.iter().filter(move |one| one["role"] == role);
    let word = |value: &Value| value.as_str().expect("a label").to_owned();
    keep += &word(&of("gasket").next().expect("a gasket")["part"]);
    keep += "\", head = { ";
    let heads: Vec<String> = of("head").map(|one| format!("{} = {}", word(&one["bank"]), one["part"])).collect();
    keep += &heads.join(", ");
    for role in ["piston", "rod"] {
        let pins = plan["placements"].as_array().expect("placements").iter();
        let pins: Vec<String> = pins.map(|one| format!("{} = {}", one["position"], one["parts"][role])).collect();
        let _ = write!(keep, " }}, {role} = {{ {}", pins.join(", "));
    }
    keep += " } }\n";
    let kept = edited(&demo, "job.toml", |text| text.to_owned() + &keep);
    let add = |file: &str, column: &str, by: f64, decimals: usize| {
        edited(&kept, file, |text| {
            let at = text.lines().next().expect("a header").split(',').position(|name| name == column);
            let at = at.expect("the column");
            rows(text, |row, cells| {
                if row > 0 {
                    let value: f64 = cells[at].parse().expect("a number");
                    cells[at] = format!("{:.decimals$}", value + by);
                }
            })
        })
    };
    let edits = [
        ("gasket", add("gaskets.csv", "thickness_in", 0.001, 4)),
        ("deck", add("deck-readings.csv", "reading_in", 0.001, 4)),
        ("chamber", add("chamber-readings.csv", "reading_cc", 0.1, 1)),
    ];
    let told = plan["little_more"].as_array().expect("all three");
    assert_eq!(told.len(), edits.len());
    for (told, (of, files)) in told.iter().zip(&edits) {
        assert_eq!(told["of"], **of);
        let after = answer("match", files, &[])["matches"][0].take();
        for measure in ["mean", "spread"] {
            let number = |plan: &Value| plan[measure]["value"].as_f64().expect("a number");
            let (worked, said) = (number(&after) - number(&plan), number(told));
            // A tick of ratio is 1e-6; effects and volumes are rounded one by one before and after the edit.
            assert!((worked - said).abs() <= 4e-6, "{of}, {measure}: {worked} and {said}");
        }
    }
}
