//! `recheck`: go over a plan and its proof without solving anything.

mod words;

use std::io::{self, Write};

use pairwright_engine::job::Job;
use pairwright_engine::outcome::{Rechecked, recheck as go_over, recheck_no_plan};
use pairwright_engine::plan::{PlanError, RuledOut, Taken};

use super::loading::job_at;
use crate::Exit;
use crate::args::RecheckArguments;
use crate::plan_file::{self, Said, Section};
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
            let cut_off = words::cut_off(&error, &text);
            writeln!(err, "error: `{name}` is no plan of this job: {error}{cut_off}")?;
            return Ok(Exit::Wrong);
        }
    };
    let mut taken = Taken::default();
    for section in &sections {
        let title = &loaded.job.matches[section.matching].name;
        match judged(&loaded.job, section, &taken) {
            Ok(Rechecked::True(said)) => writeln!(out, "{title}: {said}")?,
            Ok(Rechecked::Missing(lacks)) => {
                for lack in lacks {
                    writeln!(err, "error: {title}: {} needs {}", loaded.job.fits.phrase(lack.fit), lack.what)?;
                }
                return Ok(Exit::NotHeld);
            }
            Err(error) => {
                writeln!(err, "error: {title}: {}", words::refused(&error))?;
                writeln!(
                    err,
                    "either the plan was changed, or the files of the job were since it was written: `match --proof` \
                     writes a new one (values are in whole ticks)"
                )?;
                return Ok(Exit::NotHeld);
            }
        }
        if let Said::Plan(certificate) = &section.said {
            certificate.take(&loaded.job, section.matching, &mut taken);
        }
    }
    Ok(Exit::Done)
}

/// What is true of a section, in words.
fn judged(job: &Job, section: &Section, taken: &Taken) -> Result<Rechecked<String>, PlanError> {
    Ok(match &section.said {
        Said::Plan(certificate) => match go_over(job, section.matching, taken, certificate)? {
            Rechecked::True(checked) => Rechecked::True(format!(
                "every rule is kept, every value is right, and the proof holds for {} of {} criteria",
                checked.levels, checked.of
            )),
            Rechecked::Missing(lacks) => Rechecked::Missing(lacks),
        },
        Said::NoPlan(none) => match recheck_no_plan(job, section.matching, taken, none)? {
            Rechecked::True(ruled_out) => Rechecked::True(no_plan(ruled_out)),
            Rechecked::Missing(lacks) => Rechecked::Missing(lacks),
        },
    })
}

fn no_plan(ruled_out: RuledOut) -> String {
    let RuledOut { settings, of } = ruled_out;
    match of {
        _ if settings == 0 && of > 0 => {
            "it is said that there is no plan, without a proof: nothing is confirmed".to_owned()
        }
        _ if !ruled_out.is_all() => format!(
            "the proof that there is no plan holds for {settings} of {of} ways to set heads and gaskets; it leaves the others open"
        ),
        0 | 1 => "the proof holds: there is no plan".to_owned(),
        _ => format!("the proof holds: there is no plan under any of {of} ways to set heads and gaskets"),
    }
}
