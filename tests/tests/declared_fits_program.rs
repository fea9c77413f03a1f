//! A declared fit through the whole program: columns of its own, limits by position, what comes next, every format.

use pairwright::Exit;
use pairwright_tests::folder::{folder, pairwright};
use serde_json::Value;

const JOB: &str = "\
units = \"mm\"

[fit.big_end]
plus = \"rod.big_end\"

[banks]
row = [1, 2]

[positions]
cylinder = \"cylinders.csv\"

[stock]
piston = \"pistons.csv\"
rod = \"rods.csv\"

[uncertainty]
wall = 0.002

[fit.bearing_clearance]
plus = [\"cylinder.housing\"]
minus = [\"cylinder.pin\", { column = \"piston.wall\", times = 2 }]

[fit.odds]
measures = \"number\"
plus = { column = \"rod.score\", times = 0.5 }

[[match]]
place = [\"piston\", \"rod\"]
even = \"bearing_clearance\"
then = [\"big_end\", \"odds\"]
limits = { bearing_clearance = { min = 0.02 }, big_end = { spread = \"3 g\" } }
";

fn job(changed: (&str, &str)) -> tempfile::TempDir {
    folder(&[
        ("job.toml", &JOB.replace(changed.0, changed.1)),
        (
            "cylinders.csv",
            "cylinder,housing,pin,u_pin,max_bearing_clearance\n1,64.015,60.001,0.001,\n2,64.011,60.004,0.003,0.07\n",
        ),
        ("pistons.csv", "id,wall\nA,1.980\nB,1.985\nC,1.978\n"),
        ("rods.csv", "id,big_end_g,score\nr1,401.2,3\nr2,402.2,4\nr3,409.9,7\n"),
    ])
}

/// By hand, in mm: A, B and C leave 0.054, 0.044 and 0.058 in cylinder 1, and 0.047, 0.037 and 0.051 in cylinder 2, so that
/// the least spread is 0.003. The uncertainty is that of the housing's three decimals, of the journal's own column, and of
/// twice the stated wall.
#[test]
fn values_and_uncertainties_are_those_of_plain_arithmetic() {
    let job = job(("", ""));
    let ran = pairwright("match", job.path(), &["--format", "json"]);
    assert_eq!((ran.exit, ran.err.as_str()), (Exit::Done, ""), "{}", ran.out);
    let document: Value = serde_json::from_str(&ran.out).expect("JSON");
    let places = document["matches"][0]["placements"].as_array().expect("placements");
    let housing = [64.015, 64.011];
    let pin = [60.001, 60.004];
    for (at, place) in places.iter().enumerate() {
        let wall = match place["parts"]["piston"].as_str() {
            Some("A") => 1.980,
            Some("B") => 1.985,
            _ => 1.978,
        };
        let own = &place["fits"]["bearing_clearance"];
        let expected: f64 = housing[at] - pin[at] - 2.0 * wall;
        assert!((own["value"].as_f64().expect("a value") - expected).abs() < 1e-9, "{own}");
        let u_pin: f64 = [0.001, 0.003][at];
        let u = (0.001_f64.powi(2) / 12.0 + u_pin.powi(2) + 0.004_f64.powi(2)).sqrt();
        assert!((own["u"].as_f64().expect("an uncertainty") - u).abs() < 1e-9, "{own} {u}");
        assert_eq!([&own["unit"], &place["fits"]["big_end"]["unit"]], ["mm", "g"]);
        let score = if place["parts"]["rod"] == "r1" { 1.5 } else { 2.0 };
        assert_eq!(place["fits"]["odds"]["value"], score);
        assert_eq!(place["fits"]["odds"]["unit"], "1");
    }
    let spread = document["matches"][0]["spread"]["value"].as_f64().expect("a spread");
    assert!((spread - 0.003).abs() < 1e-9, "{spread}");
    let limits = document["matches"][0]["limits"].as_array().expect("limits");
    let told: Vec<_> = limits.iter().map(|limit| [&limit["fit"], &limit["kind"], &limit["state"]]).collect();
    let held = |fit, kind| [fit, kind, "held"];
    assert_eq!(told, [held("bearing_clearance", "min"), held("big_end", "spread"), held("bearing_clearance", "max")]);
}

#[test]
fn text_says_the_name_with_blanks_and_csv_as_it_is() {
    let job = job(("", ""));
    let text = pairwright("match", job.path(), &[]).out;
    for said in
        ["bearing clearance as even as possible", "least spread of big end", "bearing clearance at least 0.02 mm"]
    {
        let plain = text.replace(['\n', '\u{a0}'], " ");
        assert!(plain.contains(said), "{said}: {text}");
    }
    assert!(!text.contains("bearing_clearance"), "{text}");
    let csv = pairwright("match", job.path(), &["--format", "csv"]).out;
    let header = csv.lines().next().expect("a header");
    for column in ["bearing_clearance_mm", "bearing_clearance_u_mm", "big_end_g", "odds", "odds_high"] {
        assert!(header.split(',').any(|known| known == column), "{column}: {header}");
    }
}

/// The limit of cylinder 2 alone stands in its file; tightened beyond the doubt there is no plan, and the column is named.
#[test]
fn a_limit_by_position_binds() {
    let job = job(("min = 0.02", "min = 0.065"));
    let ran = pairwright("match", job.path(), &[]);
    assert_eq!(ran.exit, Exit::NotHeld);
    assert!(ran.out.replace('\u{a0}', " ").contains("bearing clearance at least 0.065 mm"), "{}", ran.out);
    assert_eq!(pairwright("check", job.path(), &[]).exit, Exit::Done);
}
