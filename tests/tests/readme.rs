//! What the README shows is what the program prints.

use std::fs;
use std::path::{Path, PathBuf};

use pairwright::render::{CompareView, Order, Style, compare_text, match_text};
use pairwright_engine::outcome::match_job;
use pairwright_engine::what_if::compare;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Holds the text block of the README behind `heading` against `excerpt`. With `UPDATE=1` it is rewritten.
fn is_in_the_readme(heading: &str, excerpt: &str) {
    let excerpt = format!("```text\n{}\n```\n", excerpt.trim_end());
    let path = root().join("README.md");
    let readme = fs::read_to_string(&path).expect("the README");
    let behind = readme.find(heading).expect("the heading");
    let start = behind + readme[behind..].find("```text\n").expect("a text block");
    let stop = start + readme[start..].find("\n```\n").expect("its end") + "\n```\n".len();
    if std::env::var_os("UPDATE").is_some() {
        fs::write(&path, format!("{}{excerpt}{}", &readme[..start], &readme[stop..])).expect("written");
    } else {
        assert_eq!(&readme[start..stop], excerpt, "run this test with UPDATE=1 and look at what changed");
    }
}

/// The excerpts are stretches of the output, down to a section that the text names. One test, since both may write.
#[test]
fn the_excerpts_of_the_readme_are_true() {
    let loaded = pairwright::input::load(&root().join("datasets/tarn-v8")).expect("the demo is sound");
    let report = match_job(&loaded.job, None).expect("the checker accepts the answer");
    let style = Style { width: 80, color: false, ascii: true };
    let text = match_text(&loaded.job, &report, &style);
    let end = text.find("What sets the spread").expect("a section of the output");
    is_in_the_readme("## A tour on the demo", &text[..end]);

    let shims = pairwright::input::load(&root().join("datasets/wren-shims")).expect("the demo is sound");
    let report = match_job(&shims.job, None).expect("the checker accepts the answer");
    let text = match_text(&shims.job, &report, &style);
    let (start, end) = (text.find("What to buy"), text.find("How even it comes out"));
    is_in_the_readme("<!-- match datasets/wren-shims,", &text[start.expect("a section")..end.expect("a section")]);

    let comparison = compare(&loaded.job, 0, |_| true).expect("the checker accepts the answer");
    let view = CompareView { job: &loaded.job, comparison: &comparison, order: Order::Job, headroom: false };
    let text = compare_text(view, &style);
    let end = text.find("What each one buys").expect("a section of the output");
    is_in_the_readme("### Before anything is cut or bought", &text[..end]);
}

/// Every file that the README links to is there.
#[test]
fn links_of_the_readme_lead_somewhere() {
    let readme = fs::read_to_string(root().join("README.md")).expect("the README");
    let links: Vec<&str> = readme.split("](").skip(1).filter_map(|rest| rest.split(')').next()).collect();
    assert!(links.len() >= 7);
    for link in links {
        assert!(root().join(link).exists(), "{link}");
    }
}
