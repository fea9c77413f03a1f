//! `recheck`: go over a plan and its proof without solving anything.

use std::io::{self, Write};

use pairwright_engine::outcome::{Rechecked, recheck as go_over};
use pairwright_engine::plan::Taken;

use super::loading::job_at;
use crate::Exit;
use crate::args::RecheckArguments;
use crate::plan_file::{self, Section};
use crate::terminal::Terminal;

/// Reads the job and the plan file, and checks every section.
pub(crate) fn recheck(asked: &RecheckArguments, out: &mut dyn Write, err: &mut dyn Write) -> io::Result<Exit> {
    let loaded = match job_at(&asked.job, Terminal::stderr(asked.look).color, err)? {
        Ok(loaded) => loaded,
        Err(exit) => return Ok(exit),
    };
    let name = asked.plan.display();
    let text = match std::fs::read_to_string(&asked.plan) {
        Ok(text) => text,
        Err(error) => {
            writeln!(err, "error: `{name}` cannot be read: {error}")?;
            return Ok(Exit::Wrong);
        }
    };
    let sections = match plan_file::read(&loaded.job, &text) {
        Ok(sections) => sections,
        Err(error) => {
            writeln!(err, "error: `{name}` is no plan of this job: {error}")?;
            return Ok(Exit::Wrong);
        }
    };
    let mut taken = Taken::default();
    for Section { matching, certificate } in &sections {
        let title = &loaded.job.matches[*matching].name;
        match go_over(&loaded.job, *matching, &taken, certificate) {
            Ok(Rechecked::True(checked)) => writeln!(
                out,
                "{title}: every rule is kept, every value is right, and the proof holds for {} of {} criteria",
                checked.levels, checked.of
            )?,
            Ok(Rechecked::Missing(lacks)) => {
                for lack in lacks {
                    writeln!(err, "error: {title}: {} needs {}", loaded.job.fits.phrase(lack.fit), lack.what)?;
                }
                return Ok(Exit::NotHeld);
            }
            Err(error) => {
                writeln!(err, "error: {title}: {error}")?;
                writeln!(
                    err,
                    "either the plan was changed, or the files of the job were since it was written: `match --proof` \
                     writes a new one (values are in whole ticks: lengths in nanometres)"
                )?;
                return Ok(Exit::NotHeld);
            }
        }
        certificate.take(&loaded.job, *matching, &mut taken);
    }
    Ok(Exit::Done)
}
