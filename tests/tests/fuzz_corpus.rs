//! The corpus of the fuzz targets, run as plain tests: no input makes a parser panic.

use std::fs;
use std::path::{Path, PathBuf};

#[expect(unreachable_pub, reason = "the fuzz package exports what it drives")]
#[path = "../../fuzz/src/drive.rs"]
mod drive;

/// The files of a corpus; there are some.
fn corpus(name: &str) -> Vec<(PathBuf, Vec<u8>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fuzz/corpus").join(name);
    let mut all: Vec<_> = fs::read_dir(folder)
        .expect("the corpus is there")
        .map(|entry| entry.expect("readable").path())
        .map(|path| (path.clone(), fs::read(path).expect("readable")))
        .collect();
    all.sort();
    assert!(all.len() >= 8, "a corpus of {} files is none", all.len());
    all
}

#[test]
fn the_job_beside_the_files_is_sound() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    drive::sound(folder.path());
}

#[test]
fn job_files() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for (path, data) in corpus("job") {
        println!("{}", path.display());
        drive::job(folder.path(), &data);
    }
}

#[test]
fn csv_files() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for (path, data) in corpus("csv") {
        println!("{}", path.display());
        drive::csv(folder.path(), &data);
    }
}

#[test]
fn quantities() {
    for (path, data) in corpus("quantity") {
        println!("{}", path.display());
        drive::quantity(&data);
    }
}

/// Every prefix of a sound file is answered too.
#[test]
fn files_cut_short() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets/tarn-v8");
    let toml = fs::read(demo.join("job.toml")).expect("the demo is there");
    for end in 0..toml.len() {
        drive::job(folder.path(), &toml[..end]);
    }
    let pistons = fs::read(demo.join("pistons.csv")).expect("the demo is there");
    for end in 0..pistons.len() {
        drive::csv(folder.path(), &pistons[..end]);
    }
}
