//! From the command line to an exit status.

use std::io::{self, Write};
use std::process::ExitCode;

use clap::Parser;

use crate::args::{Arguments, Command};
use crate::{Exit, commands};

/// Runs the command that the process was called with.
pub fn run_from_environment() -> ExitCode {
    match Arguments::try_parse() {
        Ok(arguments) => run(&arguments, &mut io::stdout().lock(), &mut io::stderr().lock()).into(),
        Err(error) => {
            // Help and version come this way too; a closed pipe is no reason to complain.
            let _closed = error.print();
            if error.use_stderr() { Exit::Wrong.into() } else { Exit::Done.into() }
        }
    }
}

/// Runs a command: results go to `out`, everything else to `err`.
///
/// A reader that closes its end early (`| head`) is not an error.
pub fn run(arguments: &Arguments, out: &mut dyn Write, err: &mut dyn Write) -> Exit {
    let done = match &arguments.command {
        Command::Match(asked) => commands::match_job(asked, out, err),
        Command::Check(asked) => commands::check(asked, out, err),
        Command::Compare(asked) => commands::compare(asked, out, err),
        Command::Pile(asked) => commands::pile(asked, out, err),
        Command::Recheck(asked) => commands::recheck(asked, out, err),
    };
    match done {
        Ok(exit) => exit,
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Exit::Done,
        Err(error) => {
            let _closed = writeln!(err, "error: the answer could not be written: {error}");
            Exit::Wrong
        }
    }
}
