//! Roles by name, with figures of manuals (`datasets/outside/limits`): grades and answers are printed, the parts within a grade
//! are invented.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use pairwright::Exit;
use pairwright_tests::folder::{folder, pairwright};
use serde_json::Value;

fn outside(name: &str) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets/outside/limits").join(name);
    serde_json::from_str(&fs::read_to_string(path).expect("outside data")).expect("JSON")
}

fn text(value: &Value) -> &str {
    value.as_str().expect("a figure")
}

/// The plan of the only match, which has to be proven: for every position its parts by role, and the value of a fit.
fn planned(files: &[(&str, &str)], fit: &str) -> Vec<(Value, f64)> {
    let job = folder(files);
    let ran = pairwright("match", job.path(), &["--format", "json"]);
    assert_eq!(ran.exit, Exit::Done, "{ran:?}");
    let document: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(document["matches"][0]["outcome"], "proven");
    let places = document["matches"][0]["placements"].as_array().expect("placements");
    places
        .iter()
        .map(|place| (place["parts"].clone(), place["fits"][fit]["value"].as_f64().expect("a value")))
        .collect()
}

/// Reground rod journals of TM 5-4320-300-14 (pp. 6-83, 6-103) in housings of 2.7510 in, and for each of them a shell of the
/// low and one of the high end of its grade in one box: inside 0.001 to 0.003 in (the range of the fine plastic gage, TM
/// 5-2420-222-34 p. 1-7) every journal gets an upper and a lower shell of its own undersize, and none is used twice.
#[test]
fn every_reground_journal_gets_two_shells_of_its_grade() {
    let table = &outside("bearing_shells.json")["bearing_shell_thickness"];
    let grades = [3_usize, 0, 2, 4, 1, 2];
    let mut journals = String::from("journal,housing,diameter\n");
    for (at, &grade) in grades.iter().enumerate() {
        writeln!(journals, "{},2.7510,{}", at + 1, text(&table["rod_journal_in"][grade][1])).expect("text");
    }
    let mut shells = String::from("id,wall\n");
    for (at, &grade) in grades.iter().enumerate() {
        for (end, size) in table["new_shell_in"][grade].as_array().expect("two ends").iter().enumerate() {
            writeln!(shells, "G{grade}-{at}{end},{}", text(size)).expect("text");
        }
    }
    let job = "units = \"in\"\n[stock]\nshell = \"shells.csv\"\n[positions]\njournal = \"journals.csv\"\n\
               [fit.clearance]\nplus = \"journal.housing\"\n\
               minus = [\"journal.diameter\", \"upper.wall\", \"lower.wall\"]\n\
               [[match]]\nplace = [{ kind = \"shell\", as = \"upper\" }, { kind = \"shell\", as = \"lower\" }]\n\
               even = \"clearance\"\nlimits = { clearance = { min = 0.001, max = 0.003, guard = false } }\n";
    let plan = planned(&[("job.toml", job), ("journals.csv", &journals), ("shells.csv", &shells)], "clearance");
    let mut used = Vec::new();
    for ((parts, value), grade) in plan.iter().zip(grades) {
        for role in ["upper", "lower"] {
            let shell = text(&parts[role]);
            assert!(shell.starts_with(&format!("G{grade}-")), "{shell} on a journal of grade {grade}");
            used.push(shell.to_owned());
        }
        assert!((0.001..=0.003).contains(value), "{value}");
    }
    // Most even is one of each end everywhere: 2.7510 less the journal and both ends of its grade is the same for all.
    let spread =
        plan.iter().map(|one| one.1).fold(f64::MIN, f64::max) - plan.iter().map(|one| one.1).fold(f64::MAX, f64::min);
    assert!(spread < 1e-9, "{spread}");
    used.sort_unstable();
    used.dedup();
    assert_eq!(used.len(), 12);
}

/// The button nearest to what the reading asks for, as both manuals print it: C where it is there to the thousandth
/// (TM 9-2330-356-14 p. 7-65), M where it is not (TM 5-6115-584-34). Both pumps at once, each size once.
#[test]
fn the_button_of_the_manuals_is_chosen() {
    let table = &outside("timing_buttons.json")["timing_buttons"];
    let examples = table["examples"].as_array().expect("examples");
    let mut pumps = String::from("pump,old_closing,old_button,new_closing\n");
    for (at, one) in examples.iter().enumerate() {
        writeln!(pumps, "{},{},{},{}", at + 1, one["old_port_closing"], one["old_button"], one["new_port_closing"])
            .expect("text");
    }
    let sizes = table["size_in"].as_object().expect("sizes");
    assert_eq!(sizes.len(), 16);
    let rows: Vec<String> = sizes.iter().map(|(letter, size)| format!("{letter},{}\n", text(size))).collect();
    let buttons = format!("id,size\n{}", rows.concat());
    let job = "units = \"in\"\n[stock]\nbutton = \"buttons.csv\"\n[positions]\npump = \"pumps.csv\"\n\
               [fit.off]\nplus = [\"pump.old_closing\", \"pump.old_button\"]\n\
               minus = [\"pump.new_closing\", \"new_button.size\"]\n\
               [[match]]\nplace = { kind = \"button\", as = \"new_button\" }\nnear = { fit = \"off\", value = 0, by = \"squares\" }\n";
    let plan = planned(&[("job.toml", job), ("pumps.csv", &pumps), ("buttons.csv", &buttons)], "off");
    for ((parts, value), one) in plan.iter().zip(examples) {
        let button = text(&parts["new_button"]);
        assert_eq!(button, text(&one["button"]));
        let size: f64 = text(&sizes[button]).parse().expect("a size");
        assert!((one["required"].as_f64().expect("printed") - size - value).abs() < 1e-9, "{value}");
    }
}
