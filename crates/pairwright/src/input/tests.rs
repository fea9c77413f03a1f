use std::path::{Path, PathBuf};

use pairwright_engine::job::{Goal, Positive};
use pairwright_engine::quantity::Amount;

use super::*;

fn dataset(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../datasets").join(name)
}

#[test]
fn the_demo_loads_without_a_word() {
    for name in ["tarn-v8", "tarn-deck"] {
        let loaded = load(&dataset(name)).expect("sound");
        assert_eq!(loaded.notes, []);
        assert_eq!(loaded.missing, []);
        let job = loaded.job;
        assert_eq!(job.positions("cylinder").expect("there").ids, ["1", "3", "5", "7", "2", "4", "6", "8"]);
        assert_eq!(job.stock("piston").expect("there").parts.len(), 11);
        let deck = job.deck.expect("there");
        assert_eq!((deck.rows.len(), deck.positive), (38, Positive::Above));
        assert_eq!(deck.rows[13].value.to_string(), "0.0050 in", "the misread one");
        assert_eq!(deck.rows[13].line, 15);
    }
}

#[test]
fn no_value_of_a_demo_is_far_off() {
    for name in ["fell-shells", "fell-six", "tarn-deck", "tarn-rockers", "tarn-v8", "wren-shims"] {
        let loaded = load(&dataset(name)).expect("sound");
        let far: Vec<_> = loaded.notes.iter().filter(|note| note.code == crate::diagnostic::Code::NoteFarOff).collect();
        assert!(far.is_empty(), "{name}: {far:?}");
    }
}

#[test]
fn the_metric_demo_says_how_its_columns_are_separated() {
    let loaded = load(&dataset("fell-six")).expect("sound");
    assert_eq!(loaded.notes.len(), 3);
    assert_eq!(loaded.missing, []);
    let deck = loaded.job.deck.expect("there");
    assert_eq!(deck.positive, Positive::Below);
    assert_eq!(deck.rows[0].value.to_string(), "0.12 mm");
    assert!(matches!(loaded.job.matches[0].aim.goal, Goal::Near(value) if value.to_string() == "-0.15 mm"));
}

#[test]
fn every_column_is_in_the_reference() {
    let page = include_str!("../../../../docs/job-file.md");
    let columns = kinds::quantities().chain(positions::measured_columns());
    for name in columns.chain(kinds::KINDS.iter().copied()) {
        assert!(page.contains(&format!("`{name}`")), "{name}");
    }
}

/// A job on disk; `files` are name and text.
fn job(files: &[(&str, &str)]) -> Loaded {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    load(folder.path())
        .unwrap_or_else(|wrong| panic!("{}", crate::diagnostic::render(&wrong.items, &wrong.sources, false)))
}

const TOML: &str = "\
units = \"mm\"
banks = { left = [1], right = { cylinders = [\"2\"], head = \"turned\", straight = true, form = \"5 um\" } }
stock = { piston = \"p.csv\" }
readings = { deck = { file = \"r.csv\", resolution = \"0.5 thou\", positive = \"below\" } }
";

const PISTONS: &str = "id,diameter_in,mass_g,at,fits\n007,3.9361,612.4,1,left 2\n8,3.9363,\"611.9 g\",,none\n";

const READINGS: &str =
    "piston,cylinder,reading,spot,leave_out\n007,2,0.104,front,\n8,1,\"4.0 thou\",rear,x\n007,2,0.104,front,No\n";

/// What the same job must come to, however its files are written.
fn check(loaded: &Loaded) {
    let pistons = loaded.job.stock("piston").expect("there");
    assert_eq!(pistons.parts.iter().map(|part| part.id.as_str()).collect::<Vec<_>>(), ["007", "8"]);
    assert_eq!(pistons.columns.value("diameter", 0).map(|value| value.to_string()).as_deref(), Some("3.9361 in"));
    assert_eq!(pistons.columns.value("mass", 1).map(|value| value.to_string()).as_deref(), Some("611.9 g"));
    assert_eq!(pistons.parts[0].at, Some(0));
    assert_eq!(pistons.parts[0].fits.as_ref().map(Vec::len), Some(2));
    assert_eq!(pistons.parts[1].fits, Some(Vec::new()));
    let deck = loaded.job.deck.as_ref().expect("there");
    let rows: Vec<_> =
        deck.rows.iter().map(|row| (row.position, row.part, row.value.ticks(), row.spot, row.leave_out)).collect();
    let first = (1, 0, 104_000, Some(0), false);
    assert_eq!(rows, [first, (0, 1, 101_600, Some(1), true), first]);
    assert_eq!(deck.spots, ["front", "rear"]);
    assert_eq!(deck.rows.iter().map(|row| row.line).collect::<Vec<_>>(), [2, 3, 4]);
}

#[test]
fn every_separator_line_end_and_mark_reads_the_same() {
    check(&job(&[("job.toml", TOML), ("p.csv", PISTONS), ("r.csv", READINGS)]));
    for separator in [";", "\t"] {
        let (pistons, readings) = (PISTONS.replace(',', separator), READINGS.replace(',', separator));
        check(&job(&[("job.toml", TOML), ("p.csv", &pistons), ("r.csv", &readings)]));
        let comma = |text: &str| text.replace('.', ",");
        check(&job(&[("job.toml", TOML), ("p.csv", &comma(&pistons)), ("r.csv", &comma(&readings))]));
    }
    let windows = |text: &str| format!("\u{feff}{}", text.replace('\n', "\r\n"));
    check(&job(&[("job.toml", &windows(TOML)), ("p.csv", &windows(PISTONS)), ("r.csv", &windows(READINGS))]));
    let quoted = PISTONS.replacen("id,diameter_in", "\u{feff}\"id\",\"Diameter in\"", 1);
    check(&job(&[("job.toml", TOML), ("p.csv", &quoted), ("r.csv", READINGS.trim_end())]));
}

#[test]
fn both_forms_of_a_bank_say_the_same_and_the_long_one_more() {
    let loaded = job(&[("job.toml", TOML), ("p.csv", PISTONS), ("r.csv", READINGS)]);
    let [left, right] = &loaded.job.banks[..] else { panic!("two banks") };
    assert_eq!((left.name.as_str(), &left.cylinders[..], left.head, left.straight), ("left", &[0][..], None, false));
    assert_eq!((right.name.as_str(), &right.cylinders[..], right.straight), ("right", &[1][..], true));
    assert_eq!(right.head, Some(pairwright_engine::job::HeadSeat::Turned));
    assert_eq!(right.form.map(Amount::ticks), Some(5_000));
    assert_eq!(loaded.missing.iter().map(|need| need.matching).collect::<Vec<_>>(), [None], "no match yet");
}

#[test]
fn cylinders_come_in_bank_order_whatever_the_order_of_their_rows() {
    let toml = TOML.replace("stock =", "positions = { cylinder = \"c.csv\" }\nstock =");
    let cylinders = "id,bore_in,min_skirt,note\n\n2,3.9404,0.08,tight\n , , , \n1,3.9402,,\n";
    let loaded = job(&[("job.toml", &toml), ("p.csv", PISTONS), ("r.csv", READINGS), ("c.csv", cylinders)]);
    let positions = loaded.job.positions("cylinder").expect("there");
    assert_eq!(positions.ids, ["1", "2"]);
    assert_eq!(positions.lines, [5, 3]);
    assert_eq!(positions.columns.value("bore", 1).map(|bore| bore.to_string()).as_deref(), Some("3.9404 in"));
    assert_eq!(
        positions.limits[0].values.iter().map(|value| value.map(Amount::ticks)).collect::<Vec<_>>(),
        [None, Some(80_000)]
    );
}

#[test]
fn pins_are_read_in_both_forms() {
    let toml = format!(
        "{TOML}[[match]]\nplace = [\"piston\"]\nnear = {{ fit = \"deck\", value = \"-4 thou\", by = \"squares\", slack = 0.01 }}\nkeep = {{ 1 = \"007\" }}\nbar = {{ piston = {{ 2 = [\"8\", 007] }} }}\n"
    );
    let wrong = load(written(&toml).path()).expect_err("007 is no number in TOML");
    assert!(wrong.items.iter().all(|item| item.code == crate::diagnostic::Code::JobSyntax));
    let loaded = job(&[("job.toml", &toml.replace(", 007]", ", \"007\"]")), ("p.csv", PISTONS), ("r.csv", READINGS)]);
    let matching = &loaded.job.matches[0];
    assert_eq!(matching.name, "match 1");
    assert_eq!((matching.keep.len(), matching.bar.len()), (1, 2));
    assert_eq!((matching.keep[0].position, matching.keep[0].part, matching.keep[0].role), (0, 0, 0));
    assert_eq!(matching.aim.slack.map(Amount::ticks), Some(10_000));
}

#[test]
fn limits_and_pins_may_be_sections_below_their_match() {
    let short = format!("{TOML}[[match]]\nplace = \"piston\"\neven = \"deck\"\n");
    let toml = format!("{short}[match.limits]\nmass = {{ spread = \"2 g\" }}\n[match.keep]\n1 = \"007\"\n");
    let loaded = job(&[("job.toml", &toml), ("p.csv", PISTONS), ("r.csv", READINGS)]);
    let matching = &loaded.job.matches[0];
    assert_eq!(matching.limits[0].spread.map(Amount::ticks), Some(20_000));
    assert_eq!((matching.keep[0].position, matching.keep[0].part), (0, 0));
}

fn written(toml: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for (name, text) in [("job.toml", toml), ("p.csv", PISTONS), ("r.csv", READINGS)] {
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    folder
}
