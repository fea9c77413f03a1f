//! A block of pistons, rods, heads and a gasket of which some are bought: what `match` says, and what `recheck` makes of it.

use std::fs;

use pairwright::Exit;
use pairwright::input::load;
use pairwright_engine::outcome::{Outcome, match_job};
use pairwright_tests::folder::{folder, pairwright};
use pairwright_tests::no_plan;
use serde_json::Value;

const JOB: &str = "\
units = \"mm\"

[stock]
piston = \"pistons.csv\"
rod    = \"rods.csv\"
head   = \"heads.csv\"
gasket = \"gaskets.csv\"

[positions]
cylinder = \"cylinders.csv\"

[engine]
bore = 80
stroke = 76

[banks]
left  = { cylinders = [1, 2], head = \"as measured\" }
right = { cylinders = [3, 4], head = \"as measured\" }

[fit.stack]
plus  = [\"cylinder.height\", \"rod.length\", \"piston.height\", \"gasket.thickness\"]

[[match]]
place = [\"piston\", \"rod\", \"head\", \"gasket\"]
even  = \"stack\"
KEYS
then  = [\"price\"]
";
const PISTONS: &str = "\
id,height,price
A,30.00,
B,30.04,
C,30.10,
new 30.02,30.02,60
new 30.06,30.06,75
";
const RODS: &str = "\
id,length,count,price
R1,140.00,,
R2,140.03,,
140.00,140.00,any,40
";
const HEADS: &str = "\
id,price
H1,
H2,
H3,90
";
const GASKETS: &str = "\
id,thickness,price
thin,1.00,
thick,1.20,15
";
const CYLINDERS: &str = "\
cylinder,height
1,0.00
2,0.02
3,0.00
4,0.03
";

/// The job with these keys of the match.
fn block(keys: &str) -> tempfile::TempDir {
    folder(&[
        ("job.toml", &JOB.replace("KEYS", keys)),
        ("pistons.csv", PISTONS),
        ("rods.csv", RODS),
        ("heads.csv", HEADS),
        ("gaskets.csv", GASKETS),
        ("cylinders.csv", CYLINDERS),
    ])
}

/// What there is to read of other heads and gaskets.
fn others(keys: &str) -> String {
    let ran = pairwright("match", block(keys).path(), &[]);
    let start = ran.out.find("Other heads").expect("other heads");
    let rest = &ran.out[start..];
    rest[..rest.find("Limits").unwrap_or(rest.len())].to_owned()
}

/// What there is to read up to the placements, or to what there is to do, and then what `recheck` says.
fn told(keys: &str) -> String {
    let job = block(keys);
    let proof = job.path().join("proof.txt");
    let proof = proof.to_str().expect("plain");
    let ran = pairwright("match", job.path(), &["--proof", proof]);
    let end = ran.out.find("What results").unwrap_or(ran.out.len());
    let bought = ran.out.find("What to buy").map_or("", |start| {
        let rest = &ran.out[start..];
        &rest[..rest.find("How even").unwrap_or(rest.len())]
    });
    let again = pairwright("recheck", job.path(), &[proof]);
    let start = ran.out.find("Asked").unwrap_or(0);
    format!("{}{bought}{}", &ran.out[start..end], again.out)
}

fn document(keys: &str) -> String {
    let ran = pairwright("match", block(keys).path(), &["--format", "json"]);
    let document: Value = serde_json::from_str(&ran.out).expect("JSON");
    let found = &document["matches"][0];
    let kept = ["aim", "outcome", "proof", "settings", "shopping"];
    let mut kept: Value = kept.map(|key| (key.to_owned(), found[key].clone())).into_iter().collect();
    kept["culprits"] = found["impossible"]["culprits"].clone();
    kept["parts"] = found["placements"].as_array().into_iter().flatten().map(|place| place["parts"].clone()).collect();
    serde_json::to_string_pretty(&kept).expect("JSON")
}

#[test]
fn so_much_may_be_spent() {
    insta::assert_snapshot!(told("spend = { max = 200 }"));
    insta::assert_snapshot!(document("spend = { max = 200 }"));
}

/// Heads and gaskets that cost too much are said to, with what the cheapest plan with them costs.
#[test]
fn other_heads_are_too_dear() {
    insta::assert_snapshot!(others("spend = { max = 165 }"));
    let ran = pairwright("match", block("spend = { max = 165 }").path(), &["--format", "json"]);
    let document: Value = serde_json::from_str(&ran.out).expect("JSON");
    let others = document["matches"][0]["other_settings"].as_array().expect("other heads").clone();
    let with = |part: &str| {
        let has = |other: &&Value| {
            other["settings"].as_array().is_some_and(|all| all.iter().any(|served| served["part"] == part))
        };
        others
            .iter()
            .filter(has)
            .map(|other| (other["plan"].is_null(), other["least_price"].clone()))
            .collect::<Vec<_>>()
    };
    // 140 is the least for pistons and rods: two bought rods of 40 and a piston of 60.
    assert_eq!(with("H3"), vec![(true, Value::from(230.0)); 4]);
    assert_eq!(with("thick"), [(true, Value::from(170.0))]);
    assert_eq!(with("H1").iter().filter(|(is_none, _)| !is_none).count(), 1);
}

#[test]
fn that_little_buys_no_plan() {
    insta::assert_snapshot!(told("spend = { max = 100 }"));
    insta::assert_snapshot!(document("spend = { max = 100 }"));
}

#[test]
fn the_price_counts_before_the_aim() {
    insta::assert_snapshot!(told("first = [\"bought\", \"price\"]"));
    insta::assert_snapshot!(document("first = [\"bought\", \"price\"]"));
}

#[test]
fn a_plan_that_costs_more_than_may_be_spent_is_refused() {
    let job = block("spend = { max = 200 }");
    let proof = job.path().join("proof.txt");
    let proof = proof.to_str().expect("plain");
    assert_eq!(pairwright("match", job.path(), &["--proof", proof]).exit, Exit::Done);
    assert_eq!(pairwright("recheck", job.path(), &[proof]).exit, Exit::Done);
    let path = job.path().join("job.toml");
    fs::write(&path, JOB.replace("KEYS", "spend = { max = 154.99 }")).expect("written");
    let again = pairwright("recheck", job.path(), &[proof]);
    assert_ne!(again.exit, Exit::Done, "{again:?}");
    assert!(again.err.contains("`spend`"), "{again:?}");
}

#[test]
fn a_proof_that_no_plan_is_cheap_enough_is_about_that_sum_alone() {
    let job = block("spend = { max = 100 }");
    let proof = job.path().join("proof.txt");
    let proof = proof.to_str().expect("plain");
    assert_eq!(pairwright("match", job.path(), &["--proof", proof]).exit, Exit::NotHeld);
    assert_eq!(pairwright("recheck", job.path(), &[proof]).exit, Exit::Done);
    let written = fs::read_to_string(proof).expect("written");
    assert!(written.contains("\nsettings 12\nspend 10000\n"), "{written}");
    let refused = |how: &str| {
        let again = pairwright("recheck", job.path(), &[proof]);
        assert_ne!(again.exit, Exit::Done, "{how}: {again:?}");
        assert!(again.err.contains("`spend` or limits are not those of the job"), "{how}: {again:?}");
    };
    for (how, spend) in [("less", "spend 9999\n"), ("more", "spend 10001\n"), ("not stated", "")] {
        fs::write(proof, written.replace("spend 10000\n", spend)).expect("written");
        refused(how);
    }
    fs::write(proof, written).expect("written");
    let loaded = load(job.path()).expect("no errors").job;
    match match_job(&loaded, None).expect("the checker accepts the answer").matches.remove(0).outcome {
        Outcome::Impossible(why) => no_plan::assert_proven(&loaded, &why.no_plan),
        other => panic!("{other:?}"),
    }
    let path = job.path().join("job.toml");
    // No plan is cheap enough for less, either; with enough, or no end to it, there is one.
    for spend in ["spend = { max = 99.99 }", "spend = { max = 140 }", ""] {
        fs::write(&path, JOB.replace("KEYS", spend)).expect("written");
        refused(spend);
    }
}

#[test]
fn a_limit_that_the_parts_as_found_break_is_named() {
    let job = folder(&[
        (
            "job.toml",
            "units = \"mm\"\n[stock]\nshim = \"shims.csv\"\n[positions]\nvalve = \"valves.csv\"\n[fit.lash_after]\n\
             plus = \"valve.gap\"\nminus = \"shim.thickness\"\n[[match]]\nplace = \"shim\"\n\
             near = { fit = \"lash_after\", value = 0.20 }\n\
             limits = { lash_after = { min = 0.15, max = 0.25, guard = false } }\n",
        ),
        ("valves.csv", "valve,gap\n1,2.70\n2,2.80\n"),
        ("shims.csv", "id,thickness,at\nA,2.60,1\nB,2.50,2\n"),
    ]);
    let ran = pairwright("match", job.path(), &[]);
    assert_eq!(ran.exit, Exit::Done, "{ran:?}");
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    // 2.70 - 2.60 is 0.10, and 2.80 - 2.50 is 0.30: each 0.05 beyond.
    assert!(text.contains("As found it is beyond what the limits allow: "), "{text}");
    assert!(text.contains("at least 0.15 mm\" by 0.050 mm at valve 1 and the limit"), "{text}");
    assert!(text.contains("at most 0.25 mm\" by 0.050 mm at valve 2."), "{text}");
    let ran = pairwright("match", job.path(), &["--format", "json"]);
    let json: Value = serde_json::from_str(&ran.out).expect("JSON");
    let told = |limit: &Value| (limit["kind"].clone(), limit["state"].clone(), limit["tightest"].clone());
    let found = json["matches"][0]["as_found"]["limits"].as_array().expect("limits").clone();
    assert_eq!(
        found.iter().map(told).collect::<Vec<_>>(),
        [("min".into(), "broken".into(), "1".into()), ("max".into(), "broken".into(), "2".into())]
    );
    assert!(found.iter().all(|limit| limit["margin"] == -0.05), "{found:?}");
    let planned = json["matches"][0]["limits"].as_array().expect("limits");
    assert!(planned.iter().all(|limit| limit["state"] == "held"), "{planned:?}");
}
