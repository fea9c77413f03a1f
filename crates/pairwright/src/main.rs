//! The `pairwright` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    pairwright::run_from_environment()
}
