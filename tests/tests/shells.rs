//! The demo of main bearing shells, two to a journal from one box, through the whole program.

use std::path::{Path, PathBuf};

use pairwright::Exit;
use pairwright_tests::folder::{folder, pairwright};
use serde_json::Value;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets/fell-shells")
}

/// The numbers of a CSV file of the demo by the label of the row, in ten-thousandths of a millimetre.
fn rows(name: &str) -> Vec<(String, Vec<i64>)> {
    let text = std::fs::read_to_string(demo().join(name)).expect("there");
    let ticks = |cell: &str| {
        let (whole, part) = cell.split_once('.').expect("a point");
        format!("{whole}{part:0<4}").parse::<i64>().expect("a number")
    };
    let row = |line: &str| {
        let mut cells = line.split(',');
        (cells.next().expect("a label").to_owned(), cells.map(ticks).collect())
    };
    text.lines().skip(1).map(row).collect()
}

#[test]
fn the_demo_as_text() {
    let ran = pairwright("match", &demo(), &[]);
    assert_eq!(ran.exit, Exit::Done);
    insta::assert_snapshot!("fell_shells", ran.out);
}

#[test]
fn every_shell_is_used_once_and_the_sums_come_out() {
    let ran = pairwright("match", &demo(), &["--format", "json"]);
    let document: Value = serde_json::from_str(&ran.out).expect("JSON");
    let found = &document["matches"][0];
    assert_eq!((found["outcome"].as_str(), found["proof"]["levels"].as_u64()), (Some("proven"), Some(3)));
    let roles: Vec<_> = found["place"].as_array().expect("roles").iter().map(|role| role["role"].as_str()).collect();
    assert_eq!(roles, [Some("upper"), Some("lower")]);
    let (journals, shells) = (rows("journals.csv"), rows("shells.csv"));
    let mut used = Vec::new();
    for (place, (id, sizes)) in found["placements"].as_array().expect("placements").iter().zip(&journals) {
        assert_eq!(place["position"].as_str(), Some(id.as_str()));
        let wall = |role: &str| {
            let label = place["parts"][role].as_str().expect("a shell");
            shells
                .iter()
                .find(|(known, _)| known == label)
                .map(|(label, sizes)| (label.clone(), sizes[0]))
                .expect("known")
        };
        let (upper, lower) = (wall("upper"), wall("lower"));
        let clearance = sizes[0] - sizes[1] - upper.1 - lower.1;
        let value = place["fits"]["main_clearance"]["value"].as_f64().expect("a value");
        assert!((value * 1e4 - clearance as f64).abs() < 1e-6, "{id}: {value} and {clearance}");
        used.extend([upper.0, lower.0]);
    }
    let left: Vec<String> = found["left_out"]
        .as_array()
        .expect("labels")
        .iter()
        .filter_map(|label| label.as_str())
        .map(str::to_owned)
        .collect();
    used.extend(left);
    used.sort_unstable();
    assert_eq!(used, shells.iter().map(|(label, _)| label.clone()).collect::<Vec<_>>());
    let runner = &found["runners_up"][0]["plan"];
    assert!(runner["parts"]["1"].is_string() && runner["other_parts"]["lower"]["5"].is_string(), "{runner:#}");
}

/// No two shells for each of five journals come nearer to 0.045 mm: bounded from below without the solver, by the journal
/// whose two best shells of all lie furthest off.
#[test]
fn the_worst_journal_is_no_further_off_than_need_be() {
    let (journals, shells) = (rows("journals.csv"), rows("shells.csv"));
    let best = |sizes: &[i64]| {
        let pairs = shells.iter().enumerate().flat_map(|(at, one)| shells[..at].iter().map(move |other| (one, other)));
        pairs.map(|(one, other)| (sizes[0] - sizes[1] - one.1[0] - other.1[0] - 450).abs()).min().expect("pairs")
    };
    let bound = journals.iter().map(|(_, sizes)| best(sizes)).max().expect("journals");
    let ran = pairwright("match", &demo(), &["--format", "json"]);
    let document: Value = serde_json::from_str(&ran.out).expect("JSON");
    let worst = document["matches"][0]["worst"]["value"].as_f64().expect("a value") * 1e4;
    assert!(worst >= bound as f64 - 1e-6 && worst <= bound as f64 + 1.0, "{worst} and {bound}");
}

#[test]
fn csv_has_a_column_a_role() {
    let ran = pairwright("match", &demo(), &["--format", "csv"]);
    assert!(
        ran.out.starts_with(
            "match,outcome,position,bank,upper,upper_comes_from,lower,lower_comes_from,main_clearance_mm,"
        ),
        "{}",
        ran.out
    );
    assert_eq!(ran.out.lines().count(), 6);
}

#[test]
fn the_proof_is_written_and_gone_over_and_a_changed_plan_is_refused() {
    let proofs = folder(&[]);
    let file = proofs.path().join("plan.txt");
    let name = file.to_str().expect("plain");
    assert_eq!(pairwright("match", &demo(), &["--proof", name]).exit, Exit::Done);
    let ran = pairwright("recheck", &demo(), &[name]);
    assert_eq!((ran.exit, ran.err.as_str()), (Exit::Done, ""));
    assert!(
        ran.out.contains("main bearings: every rule is kept") && ran.out.contains("for 3 of 3 criteria"),
        "{}",
        ran.out
    );

    let text = std::fs::read_to_string(&file).expect("written");
    assert!(text.contains("\njournal 1\nupper ") && text.contains("several of one kind\n"), "{text}");
    let shell = |role: &str, at: usize| {
        text.lines().filter_map(|line| line.strip_prefix(role)?.strip_prefix(' ')).nth(at).expect("a shell").to_owned()
    };
    let (first, second) = (shell("upper", 0), shell("upper", 1));
    let swapped = text
        .replacen(&format!("upper {first}\n"), "upper SWAP\n", 1)
        .replacen(&format!("upper {second}\n"), &format!("upper {first}\n"), 1)
        .replacen("upper SWAP\n", &format!("upper {second}\n"), 1);
    let twice = text.replacen(&format!("upper {first}\n"), &format!("upper {second}\n"), 1);
    for (changed, why) in [(swapped, "are worth"), (twice, "")] {
        std::fs::write(&file, &changed).expect("written");
        let ran = pairwright("recheck", &demo(), &[name]);
        assert_eq!(ran.exit, Exit::NotHeld, "{ran:?}");
        assert!(ran.err.contains("the checker refuses the plan") && ran.err.contains(why), "{}", ran.err);
    }
}

#[test]
fn check_finds_nothing_and_pile_says_what_more_shells_would_do() {
    assert_eq!(pairwright("check", &demo(), &[]).exit, Exit::Done);
    let ran = pairwright("pile", &demo(), &["--more", "10"]);
    assert_eq!(ran.exit, Exit::Done, "{ran:?}");
    assert!(ran.out.contains("24 shells to choose from for 5 journals"), "{}", ran.out);
    let flowing = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flowing.contains("400 futures were drawn"), "{}", ran.out);
}

/// Two journals that want a shell too many between them: how many lack, the limit that did it, and what would do.
#[test]
fn an_impossible_job_says_how_many_shells_lack() {
    let job = "title = \"Two journals\"\nunits = \"mm\"\n[stock]\nshell = \"shells.csv\"\n[positions]\njournal = \"journals.csv\"\n\
               [fit.main_clearance]\nplus = \"journal.housing\"\n\
               minus = [\"journal.diameter\", \"upper.thickness\", \"lower.thickness\"]\n\
               [[match]]\nname = \"mains\"\nplace = [{ kind = \"shell\", as = \"upper\" }, { kind = \"shell\", as = \"lower\" }]\n\
               near = { fit = \"main_clearance\", value = 0.045 }\n\
               limits = { main_clearance = { min = 0.040, max = 0.050, guard = false } }\n";
    let journals = "journal,housing,diameter\n1,64.015,60.000\n2,64.016,60.001\n";
    let shells = "id,thickness\nS1,1.985\nS2,1.985\nS3,1.985\nS4,1.900\nS5,1.950\n";
    let job = folder(&[("job.toml", job), ("journals.csv", journals), ("shells.csv", shells)]);
    let ran = pairwright("match", job.path(), &[]);
    assert_eq!(ran.exit, Exit::NotHeld);
    insta::assert_snapshot!("shells_impossible", ran.out);
}

/// A shell with its oil hole in the upper half, where stock says where shells lie now.
#[test]
fn roles_that_enter_differently_and_shells_that_stand_somewhere() {
    let job = "title = \"Two journals\"\nunits = \"mm\"\n[stock]\nshell = \"shells.csv\"\n[positions]\njournal = \"journals.csv\"\n\
               [fit.main_clearance]\nplus = \"journal.housing\"\n\
               minus = [\"journal.diameter\", \"upper.at_hole\", \"lower.thickness\"]\n\
               [[match]]\nname = \"mains\"\nplace = [{ kind = \"shell\", as = \"upper\" }, { kind = \"shell\", as = \"lower\" }]\n\
               even = \"main_clearance\"\nkeep = { lower = { \"2\" = \"S2\" } }\nbar = { upper = { \"1\" = [\"S3\"] } }\n";
    let journals = "journal,housing,diameter\n1,64.015,60.000\n2,64.019,60.001\n";
    let shells = "id,thickness,at_hole,at\nS1,1.985,1.984,1\nS2,1.986,1.986,1\nS3,1.987,1.985,2\nS4,1.984,1.984,2\nS5,1.983,1.981,\n";
    let job = folder(&[("job.toml", job), ("journals.csv", journals), ("shells.csv", shells)]);
    let ran = pairwright("match", job.path(), &[]);
    assert_eq!(ran.exit, Exit::Done);
    insta::assert_snapshot!("shells_told_apart", ran.out);
}
