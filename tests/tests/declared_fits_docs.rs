//! The sums of the job file reference: each is read by the program, and comes out as the page says.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use pairwright_tests::folder::{folder, pairwright};

/// A sum of the page: its section, the figures that it adds up, and what comes out.
struct Example {
    section: String,
    figures: Vec<String>,
    sum: f64,
}

fn examples() -> Vec<Example> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/job-file.md");
    let page = fs::read_to_string(path).expect("the reference");
    let parts = page.split("```toml\n").skip(1).filter_map(|part| part.split_once("```\n"));
    let mut all = Vec::new();
    for (section, after) in parts {
        let arithmetic = after.trim_start().strip_prefix('`').and_then(|line| line.split_once('`'));
        if let (true, Some((line, _))) = (section.starts_with("[fit."), arithmetic) {
            let (left, sum) = line.split_once(" = ").expect("a sum");
            let mut figures: Vec<String> = left.split([' ', '+', '-']).map(str::to_owned).collect();
            // `2 x 2.330`: the factor stands in the section.
            while let Some(at) = figures.iter().position(|word| word == "x") {
                figures.drain(at - 1..=at);
            }
            figures.retain(|word| !word.is_empty());
            all.push(Example { section: section.to_owned(), figures, sum: sum.parse().expect("a number") });
        }
    }
    all
}

/// `KIND.COLUMN` of every term, in order.
fn terms(section: &str) -> Vec<(&str, &str)> {
    section.split('"').skip(1).step_by(2).map(|term| term.split_once('.').expect("a kind and a column")).collect()
}

/// The kinds of the page under names that every version reads: positions are cylinders, the stocks come in order.
fn renamed<'k>(terms: &[(&'k str, &str)]) -> BTreeMap<&'k str, &'static str> {
    let mut stocks = ["piston", "rod"].into_iter();
    let mut names = BTreeMap::new();
    for (kind, _) in terms {
        if !names.contains_key(kind) {
            let own = ["cylinder", "valve", "journal"].contains(kind);
            names.insert(*kind, if own { "cylinder" } else { stocks.next().expect("two kinds of parts at most") });
        }
    }
    names
}

/// The value that the program gives a job of one position and one part of a kind.
fn value(example: &Example) -> f64 {
    let terms = terms(&example.section);
    assert_eq!(terms.len(), example.figures.len(), "{}", example.section);
    let names = renamed(&terms);
    let mut section = example.section.clone();
    let mut files: BTreeMap<&str, (String, String)> = ["cylinder", "piston"].map(|kind| (kind, start())).into();
    for ((kind, column), figure) in terms.iter().zip(&example.figures) {
        let name = names[kind];
        section = section.replace(&format!("\"{kind}.{column}\""), &format!("\"{name}.{column}\""));
        let (header, row) = files.entry(name).or_insert_with(start);
        header.extend([",", column, "_mm"]);
        row.extend([",", figure]);
    }
    let kinds: Vec<&str> = files.keys().copied().filter(|kind| *kind != "cylinder").collect();
    let stocks = kinds.iter().map(|kind| format!("{kind} = \"{kind}.csv\"")).collect::<Vec<_>>().join("\n");
    let fit = section.split(['.', ']']).nth(1).expect("a name");
    let job = format!(
        "units = \"mm\"\n[positions]\ncylinder = \"cylinder.csv\"\n[stock]\n{stocks}\n{section}\n[[match]]\nplace = {kinds:?}\neven = \"{fit}\"\n"
    );
    let mut texts: Vec<(String, String)> =
        files.iter().map(|(kind, (header, row))| (format!("{kind}.csv"), format!("{header}\n{row}\n"))).collect();
    texts.push(("job.toml".to_owned(), job));
    let texts: Vec<(&str, &str)> = texts.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    let job = folder(&texts);
    let ran = pairwright("match", job.path(), &["--format", "json"]);
    let document: serde_json::Value = serde_json::from_str(&ran.out).unwrap_or_else(|_| panic!("{}", ran.err));
    let found = &document["matches"][0]["placements"][0]["fits"][fit];
    assert_eq!(found["unit"], "mm", "{document:#}");
    found["value"].as_f64().expect("a value")
}

fn start() -> (String, String) {
    ("id".to_owned(), "1".to_owned())
}

#[test]
fn every_sum_of_the_reference_comes_out() {
    let all = examples();
    assert_eq!(all.len(), 6);
    for example in all {
        let found = value(&example);
        assert!((found - example.sum).abs() < 1e-9, "{}: {found} and {}", example.section, example.sum);
    }
}
