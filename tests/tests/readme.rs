//! What the README shows is what the program prints.

use std::fs;
use std::path::{Path, PathBuf};

use pairwright::render::{Style, match_text};
use pairwright_engine::outcome::match_job;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// The excerpt is the beginning of the output, down to where the text says so. With `UPDATE=1` the
/// README is rewritten.
#[test]
fn the_excerpt_of_the_readme_is_true() {
    let loaded = pairwright::input::load(&root().join("datasets/tarn-v8")).expect("the demo is sound");
    let report = match_job(&loaded.job, None).expect("the checker accepts the answer");
    let style = Style { width: 80, color: false, ascii: true };
    let text = match_text(&loaded.job, &report, &style);
    let end = text.find("What sets the spread").expect("a section of the output");
    let excerpt = format!("```text\n{}```\n", text[..end].trim_end().to_owned() + "\n");

    let path = root().join("README.md");
    let readme = fs::read_to_string(&path).expect("the README");
    let start = readme.find("```text\n").expect("a text block");
    let stop = start + readme[start..].find("\n```\n").expect("its end") + "\n```\n".len();
    if std::env::var_os("UPDATE").is_some() {
        fs::write(&path, format!("{}{excerpt}{}", &readme[..start], &readme[stop..])).expect("written");
        return;
    }
    assert_eq!(&readme[start..stop], excerpt, "run this test with UPDATE=1 and look at what changed");
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
