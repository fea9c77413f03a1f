//! A job folder that is sound until a case changes it.

use std::fs;
use std::path::Path;

use pairwright::diagnostic::{Diagnostic, Sources, render};
use pairwright::input::load;

const JOB: &str = "\
title = \"Two cylinders\"
units = \"in\"

[engine]
bore = 3.940
stroke = 3.420

[banks]
left = [1]
right = [2]

[stock]
piston = \"pistons.csv\"

[positions]
cylinder = \"cylinders.csv\"

[readings]
deck = \"readings.csv\"

[[match]]
name = \"short block\"
place = \"piston\"
even = \"deck\"
limits = { skirt = { min = 0.003, max = 0.005 }, mass = { spread = \"2 g\" } }
";

const CYLINDERS: &str = "\
cylinder,bore_in
1,3.9402
2,3.9404
";

const PISTONS: &str = "\
id,diameter_in,mass_g,at,fits
A,3.9361,612.4,1,
B,3.9363,611.9,2,
C,3.9360,612.8,,
";

const READINGS: &str = "\
cylinder,piston,reading_in
1,A,-0.0040
1,B,-0.0055
1,C,-0.0025
2,A,-0.0010
";

/// A job folder on disk, gone when it is dropped.
pub(crate) struct JobFolder {
    folder: tempfile::TempDir,
    /// What is opened in the folder, where it is not the folder itself.
    opened: Option<&'static str>,
}

impl JobFolder {
    pub(crate) fn new() -> Self {
        Self::empty()
            .write("job.toml", JOB)
            .write("cylinders.csv", CYLINDERS)
            .write("pistons.csv", PISTONS)
            .write("readings.csv", READINGS)
    }

    pub(crate) fn empty() -> Self {
        Self { folder: tempfile::tempdir().expect("a temporary folder"), opened: None }
    }

    pub(crate) fn path(&self) -> &Path {
        self.folder.path()
    }

    /// Opens a file of the folder in place of the folder.
    pub(crate) fn opened_at(self, name: &'static str) -> Self {
        Self { opened: Some(name), ..self }
    }

    /// Writes a whole file.
    pub(crate) fn write(self, name: &str, text: impl AsRef<[u8]>) -> Self {
        fs::write(self.path().join(name), text).expect("written");
        self
    }

    /// Changes the one place where `from` stands in a file.
    pub(crate) fn change(self, name: &str, from: &str, to: &str) -> Self {
        let text = fs::read_to_string(self.path().join(name)).expect("read");
        assert_eq!(text.matches(from).count(), 1, "`{from}` stands once in {name}");
        self.write(name, text.replace(from, to))
    }

    /// Adds to the end of a file.
    pub(crate) fn add(self, name: &str, text: &str) -> Self {
        let before = fs::read_to_string(self.path().join(name)).expect("read");
        self.write(name, before + text)
    }

    pub(crate) fn remove(self, name: &str) -> Self {
        fs::remove_file(self.path().join(name)).expect("removed");
        self
    }

    /// A job that asks for masses only.
    pub(crate) fn without_readings(self) -> Self {
        self.change("job.toml", "[readings]\ndeck = \"readings.csv\"\n", "").change(
            "job.toml",
            "even = \"deck\"",
            "even = \"mass\"",
        )
    }

    fn read(&self) -> (Vec<Diagnostic>, Sources) {
        let path = self.opened.map_or_else(|| self.path().to_owned(), |name| self.path().join(name));
        match load(&path) {
            Ok(loaded) => {
                let missing = loaded.missing.into_iter().map(|need| need.diagnostic);
                (loaded.notes.into_iter().chain(missing).collect(), loaded.sources)
            }
            Err(wrong) => (wrong.items, wrong.sources),
        }
    }

    /// Everything that is found.
    pub(crate) fn findings(&self) -> Vec<Diagnostic> {
        self.read().0
    }

    /// What people read, with the folder's name taken out.
    pub(crate) fn shown(&self) -> String {
        let (items, sources) = self.read();
        render(&items, &sources, false).replace(&self.path().display().to_string(), "JOB")
    }
}
