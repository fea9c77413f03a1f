//! Job folders on disk that vanish after a test, and the program run on them.

use std::fs;
use std::path::Path;

use pairwright::args::Arguments;
use pairwright::{Exit, run};

/// Writes files into a temporary folder.
///
/// # Panics
/// Panics where the temporary folder cannot be written: it is for tests.
#[must_use]
pub fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for (name, text) in files {
        fs::write(folder.path().join(name), text).expect("written");
    }
    folder
}

/// What a run of the program leaves behind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ran {
    /// Its exit status.
    pub exit: Exit,
    /// Standard output.
    pub out: String,
    /// Standard error, with the path of the job replaced by `JOB`.
    pub err: String,
}

/// Runs `pairwright COMMAND JOB OPTIONS` in this process, 80 columns wide and without colour.
///
/// # Panics
/// Panics where the options are none that the program knows.
#[must_use]
pub fn pairwright(command: &str, job: &Path, options: &[&str]) -> Ran {
    let path = job.to_str().expect("a path of the test");
    let fixed = ["--width", "80", "--color", "never"];
    let words = ["pairwright", command, path].into_iter().chain(fixed).chain(options.iter().copied());
    let arguments = <Arguments as clap::Parser>::try_parse_from(words).expect("options of the test");
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let exit = run(&arguments, &mut out, &mut err);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8").replace(path, "JOB");
    Ran { exit, out: text(out), err: text(err) }
}
