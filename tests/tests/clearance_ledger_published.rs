//! The clearance ledger with figures printed in manuals: lobe and valve lift, limits by position, deck variance.

use pairwright::Exit;
use pairwright_tests::folder::{folder, pairwright};
use serde_json::Value;

/// `datasets/outside/limits`: figures with their manuals and pages.
const LIMITS: &str = include_str!("../../datasets/outside/limits/manual_limits.csv");

/// The least and the greatest value of a row, by its manual, item and position.
fn row(manual: &str, item: &str, position: &str) -> (Option<f64>, f64) {
    let rows = LIMITS.lines().map(|line| line.split(',').collect::<Vec<_>>());
    let row = rows
        .filter(|row| row.len() > 6)
        .find(|row| (row[0], row[2], row[3]) == (manual, item, position))
        .expect("there");
    (row[4].parse().ok(), row[5].parse().expect("a number"))
}

fn ledger(files: &[(&str, &str)]) -> (Exit, Value) {
    let ran = pairwright("match", folder(files).path(), &["--format", "json"]);
    assert_eq!(ran.err, "");
    let value: Value = serde_json::from_str(&ran.out).expect("JSON");
    (ran.exit, value["clearances"].clone())
}

/// A retainer that has room for the greatest lift of a manual and no more, read at the least: it is good for exactly that
/// lift (TM 5-3805-280-24-2 p. 13-71, TM 9-2815-256-24).
#[test]
fn a_retainer_with_room_for_the_printed_range_is_good_for_its_end() {
    for (manual, unit) in [("TM 5-3805-280-24-2", "mm"), ("TM 9-2815-256-24", "in")] {
        for port in ["intake", "exhaust"] {
            let (low, high) = row(manual, &format!("{port} valve lift at zero lash"), "all");
            let low = low.expect("printed");
            // Typed to a nanometre, so that no guard band is left to see.
            let reading = format!("{:.5}", high - low);
            let clearances = format!(
                "name,of,cylinder,lift,reading,minimum\n{port},retainer to guide,1,{low:.5},{reading},0.00000\n"
            );
            let job = format!(
                "units = \"{unit}\"\n[engine]\nstroke = \"90.00 mm\"\nrod_length = \"150.00 mm\"\ndeck_height = \"230.00 \
                 mm\"\n[banks]\nrow = [1]\n[stock]\npiston = \"pistons.csv\"\n[readings]\nclearance = \
                 \"clearances.csv\"\n[[match]]\nplace = \"piston\"\neven = \"deck\"\n"
            );
            let pistons = "id,compression_height_mm\nA,35.00\n";
            let (exit, ledger) =
                ledger(&[("job.toml", &job), ("pistons.csv", pistons), ("clearances.csv", &clearances)]);
            assert_eq!(exit, Exit::Done);
            let good_for = ledger["entries"][0]["good_for"]["value"].as_f64().expect("known");
            let slack = if unit == "in" { 1e-5 } else { 2e-5 };
            assert!(good_for <= high && high - good_for <= slack, "{manual} {port}: {good_for} against {high}");
            assert_eq!(ledger["stops"][0]["change"], "more_lift");
        }
    }
}

/// A lobe that is 0.010 in off, as the manuals allow, takes that times the rocker's ratio from a retainer's room
/// (TM 5-3805-258-24-1 p. 4-28: 0.3300 in; TM 5-3805-260-24 p. 1-11: 0.3077 and 0.3071 in).
#[test]
fn a_lobe_off_by_what_is_allowed_takes_it_times_the_ratio() {
    let lobes = [
        row("TM 5-3805-258-24-1", "camshaft lobe lift (lobe height minus base circle)", "all").1,
        row("TM 5-3805-260-24", "camshaft lobe lift intake", "all").1,
        row("TM 5-3805-260-24", "camshaft lobe lift exhaust", "all").1,
    ];
    for lobe in lobes {
        let valves = format!("valve,lobe_lift,lash\nV,{:.4},0\n", lobe + 0.010);
        let clearances =
            format!("name,of,valve,lift,reading,minimum\nguide,retainer to guide,V,{:.5},0.0600,0.0300\n", lobe * 1.5);
        let job = "units = \"in\"\n[stock]\nrocker = \"r.csv\"\n[positions]\nvalve = \"v.csv\"\n[readings]\nclearance = \
                   \"c.csv\"\n[[match]]\nplace = \"rocker\"\nhighest = \"lift\"\n";
        let files = [("job.toml", job), ("v.csv", &valves), ("r.csv", "id,ratio\nA,1.50\n"), ("c.csv", &clearances)];
        let (exit, ledger) = ledger(&files);
        assert_eq!(exit, Exit::Done);
        let left = ledger["entries"][0]["left"]["value"].as_f64().expect("known");
        assert!((left - (0.0600 - 0.015)).abs() < 1e-7, "{left}");
    }
}

/// One clearance in all eight cylinders, its least as printed for front and rear ones (TM 9-2320-289-34 p. 3-41): the
/// front ones hold it and the rear ones do not.
#[test]
fn the_printed_minimum_of_each_cylinder_is_its_own() {
    let item = "piston to bore clearance";
    let (front, _) = row("TM 9-2320-289-34", item, "cylinders 1-6 (front)");
    let (rear, _) = row("TM 9-2320-289-34", item, "cylinders 7-8 (rear)");
    let job = |pistons: &str| {
        format!(
            "units = \"in\"\n[engine]\nstroke = 3.4800\nrod_length = 5.7000\ndeck_height = 9.0000\n[banks]\nrow = [1, 2, 3, \
             4, 5, 6, 7, 8]\n[stock]\npiston = \"{pistons}\"\n[readings]\nclearance = \"c.csv\"\n[[match]]\nplace = \
             \"piston\"\neven = \"deck\"\n"
        )
    };
    let pistons = ["id,compression_height".to_owned()].into_iter().chain((1..=8).map(|at| format!("P{at},1.5600")));
    let pistons = pistons.collect::<Vec<_>>().join("\n");
    let of = |reading: f64| -> String {
        let line = |at: usize| {
            let least = if at <= 6 { front } else { rear }.expect("printed");
            format!("skirt {at},{at},P{at},0 in/in,{reading:.5},{least:.5}")
        };
        ["name,cylinder,piston,per_deck,reading,minimum".to_owned()]
            .into_iter()
            .chain((1..=8).map(line))
            .collect::<Vec<_>>()
            .join("\n")
    };
    let run = |reading: f64| {
        let clearances = of(reading);
        let job = job("p.csv");
        pairwright("match", folder(&[("job.toml", &job), ("p.csv", &pistons), ("c.csv", &clearances)]).path(), &[])
    };
    assert_eq!(run(0.0042).exit, Exit::Done);
    let between = run(0.0037);
    assert_eq!(between.exit, Exit::NotHeld);
    let words = between.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let named = (1..=8).filter(|at| words.contains(&format!("\"skirt {at}\" (at least 0.00400 in)")));
    assert!(named.clone().all(|at| at >= 7) && named.count() >= 1, "{}", between.out);
}

/// A deck that varies by what a manual allows between cylinders (TM 5-3895-369-14: 0.002 in) takes as much, by the valve's
/// angle, from one cylinder and not from the other.
#[test]
fn a_deck_that_varies_takes_it_by_the_angle() {
    let (_, variance) = row("TM 5-3895-369-14", "deck surface variance between cylinders", "all");
    let job = "units = \"in\"\n[engine]\nstroke = 3.4800\nrod_length = 5.7000\n[banks]\nrow = [1, 2]\n[stock]\npiston = \
               \"p.csv\"\n[positions]\ncylinder = \"cylinders.csv\"\n[readings]\nclearance = \"c.csv\"\n[[match]]\nplace = \
               \"piston\"\neven = \"deck\"\nkeep = { \"1\" = \"B\", \"2\" = \"C\" }\n";
    let cylinders = format!("cylinder,deck_height\n1,9.0000\n2,{:.4}\n", 9.0 - variance);
    // Both pistons are as high over cylinder 2 as the control piston is over cylinder 1.
    let pistons = format!("id,compression_height\nA,1.5600\nB,1.5600\nC,{:.4}\n", 1.56 + variance);
    let clearances = "name,of,cylinder,surface,angle,piston,reading,minimum\nv1,piston to valve,1,flat,23,A,0.1000,0.0800\nv2,\
                      piston to valve,2,flat,23,A,0.1000,0.0800\n";
    let files = [("job.toml", job), ("cylinders.csv", cylinders.as_str()), ("p.csv", &pistons), ("c.csv", clearances)];
    let (exit, ledger) = ledger(&files);
    assert_eq!(exit, Exit::Done);
    let left = |at: usize| ledger["entries"][at]["left"]["value"].as_f64().expect("known");
    assert!((left(0) - 0.1).abs() < 1e-7);
    assert!((left(1) - (0.1 - variance / 23_f64.to_radians().cos())).abs() < 1e-7, "{}", left(1));
}
