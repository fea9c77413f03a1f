//! What every command does first: read the job, and tell what is wrong with it or missing.

use std::io::{self, Write};
use std::path::Path;

use crate::Exit;
use crate::diagnostic::{self, Class, Diagnostic, Diagnostics, Severity};
use crate::input::{self, Loaded};

/// The job at `path`; where it cannot be read, what is wrong is told and the exit status is given.
pub(super) fn job_at(path: &Path, color: bool, err: &mut dyn Write) -> io::Result<Result<Loaded, Exit>> {
    match input::load(path) {
        Ok(loaded) => Ok(Ok(loaded)),
        Err(found) => {
            write!(err, "{}", diagnostic::render(&found.items, &found.sources, color))?;
            Ok(Err(refusal(&found)))
        }
    }
}

/// Something missing is another matter than something wrong.
pub(super) fn refusal(found: &Diagnostics) -> Exit {
    if found.items.iter().any(|item| item.class == Class::Wrong) { Exit::Wrong } else { Exit::NotHeld }
}

/// Warnings in full; mere notes are counted, so that they do not push the answer off the screen.
pub(super) fn write_notes(loaded: &Loaded, color: bool, err: &mut dyn Write) -> io::Result<()> {
    let (notes, warnings): (Vec<_>, Vec<_>) =
        loaded.notes.iter().cloned().partition(|item| item.severity == Severity::Note);
    write!(err, "{}", diagnostic::render(&warnings, &loaded.sources, color))?;
    match notes.len() {
        0 => Ok(()),
        1 => writeln!(err, "note: {}; `check` shows where", notes[0].message),
        many => writeln!(err, "note: {many} remarks on how the files were read; `check` shows them"),
    }
}

/// Tells what the matches lack of which `wanted` says, by index, that they are to be solved; whether they lack anything.
pub(super) fn tell_missing(
    loaded: &Loaded,
    wanted: impl Fn(usize) -> bool,
    color: bool,
    err: &mut dyn Write,
) -> io::Result<bool> {
    let missing = loaded.missing.iter().filter(|need| need.matching.is_none_or(&wanted));
    let missing: Vec<Diagnostic> = missing.map(|need| need.diagnostic.clone()).collect();
    write!(err, "{}", diagnostic::render(&missing, &loaded.sources, color))?;
    Ok(!missing.is_empty())
}
