//! Matches that choose from one stock, one after the other.

use std::path::{Path, PathBuf};

use pairwright::Exit;
use pairwright_tests::folder::{Ran, folder, pairwright};
use serde_json::{Value, json};

fn rockers() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets/tarn-rockers")
}

fn parsed(ran: &Ran) -> Value {
    serde_json::from_str(&ran.out).unwrap_or_else(|_| panic!("{ran:?}"))
}

/// Alone, the second match has what the first one leaves it.
#[test]
fn a_match_alone_is_what_it_is_after_the_others() {
    let both = parsed(&pairwright("match", &rockers(), &["--format", "json"]));
    let proofs = folder(&[]);
    let proof = proofs.path().join("plan.txt");
    let proof = proof.to_str().expect("plain");
    let ran = pairwright("match", &rockers(), &["--format", "json", "--only", "exhaust", "--proof", proof]);
    assert_eq!(ran.exit, Exit::Done);
    let alone = parsed(&ran);
    assert_eq!(alone["matches"].as_array().map(Vec::len), Some(1));
    assert_eq!(alone["matches"][0], both["matches"][1]);
    assert_eq!(both["matches"][1]["after"], json!(["intake"]));
    assert_eq!(both["matches"][0]["after"], json!([]));
    let text = pairwright("match", &rockers(), &["--only", "exhaust"]).out.replace('\n', " ");
    assert!(text.contains("from the parts that \"intake\" left over"), "{text}");
    // The proof is about what was left over, and so the plan before it stands in the file as well.
    let again = pairwright("recheck", &rockers(), &[proof]);
    assert_eq!(again.exit, Exit::Done, "{again:?}");
    assert!(again.out.contains("exhaust: every rule is kept"), "{again:?}");
}

const JOB: &str = "\
units = \"mm\"
[stock]
shim = \"shims.csv\"
[positions]
valve = \"valves.csv\"
[fit.lash_after]
plus = \"valve.gap\"
minus = \"shim.thickness\"
[[match]]
name = \"intake\"
place = \"shim\"
only = { port = \"intake\" }
near = { fit = \"lash_after\", value = 0.100 }
then = []
[[match]]
name = \"exhaust\"
place = \"shim\"
only = { port = \"exhaust\" }
near = { fit = \"lash_after\", value = 0.100 }
then = []
";

/// The intake takes the exhaust's shim; what stood at the intake is spare then, and the exhaust gets it.
#[test]
fn what_to_carry_where_follows_on_the_match_before() {
    let job = folder(&[
        ("job.toml", JOB),
        ("valves.csv", "valve,port,gap\ni,intake,2.100\ne,exhaust,2.300\n"),
        ("shims.csv", "id,thickness,at\nA,2.200,i\nB,2.000,e\n"),
    ]);
    let document = parsed(&pairwright("match", job.path(), &["--format", "json"]));
    let step = |part: &str, from: Option<&str>, to: Option<&str>| json!({ "part": part, "from": from, "to": to });
    let steps = |at: usize| document["matches"][at]["steps"].clone();
    assert_eq!(steps(0), json!([[step("B", Some("e"), Some("i")), step("A", Some("i"), None)]]));
    assert_eq!(steps(1), json!([[step("A", None, Some("e"))]]));
}
