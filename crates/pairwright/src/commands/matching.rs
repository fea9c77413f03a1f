//! `match`: decide which part goes in which position.

use std::fs::File;
use std::io::{self, Write};
use std::path::Path;

use pairwright_engine::clearance::State;
use pairwright_engine::job::Job;
use pairwright_engine::outcome::{self, JobReport, MatchReport, Outcome, Planned};
use pairwright_engine::plan::{Lack, LimitState};

use super::loading::{job_at, tell_missing, write_notes};
use crate::Exit;
use crate::args::{Format, MatchArguments};
use crate::input::Loaded;
use crate::plan_file;
use crate::render::{Style, match_csv, match_json, match_text};
use crate::terminal::Terminal;

/// Reads the job, plans it, prints the answer.
pub(crate) fn match_job(asked: &MatchArguments, out: &mut dyn Write, err: &mut dyn Write) -> io::Result<Exit> {
    let color = Terminal::stderr(asked.look).color;
    let loaded = match job_at(&asked.job, color, err)? {
        Ok(loaded) => loaded,
        Err(exit) => return Ok(exit),
    };
    write_notes(&loaded, color, err)?;
    if let Some(name) = unknown_match(&loaded.job, asked.only.as_deref()) {
        writeln!(err, "error: the job has no match called `{name}`; it has {}", names(&loaded.job))?;
        return Ok(Exit::Wrong);
    }
    let only = asked.only.as_deref();
    let is_asked = |index: usize| only.is_none_or(|name| loaded.job.matches[index].name == name);
    if tell_missing(&loaded, is_asked, color, err)? {
        if asked.format != Format::Text {
            let report = unplanned(&loaded, asked.only.as_deref());
            out.write_all(rendered(asked, &loaded.job, &report).as_bytes())?;
        }
        return Ok(Exit::NotHeld);
    }
    let report = match outcome::match_job(&loaded.job, asked.only.as_deref()) {
        Ok(report) => report,
        Err(error) => {
            writeln!(err, "error: {error}")?;
            return Ok(Exit::Wrong);
        }
    };
    if let Some(file) = &asked.proof {
        if let Err(error) = write_new(file, &plan_file::write(&loaded.job, &report)) {
            let why = if error.kind() == io::ErrorKind::AlreadyExists {
                "it is there already, and nothing of yours is overwritten: name another file".to_owned()
            } else {
                error.to_string()
            };
            writeln!(err, "error: `{}` cannot be written: {why}", file.display())?;
            return Ok(Exit::Wrong);
        }
        writeln!(err, "wrote {}", file.display())?;
    }
    out.write_all(rendered(asked, &loaded.job, &report).as_bytes())?;
    out.flush()?;
    Ok(verdict(&report))
}

/// Writes a file that must not be there yet: nothing of the user's is overwritten.
fn write_new(file: &Path, text: &str) -> io::Result<()> {
    let mut file = File::options().write(true).create_new(true).open(file)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

fn rendered(asked: &MatchArguments, job: &Job, report: &JobReport) -> String {
    match asked.format {
        Format::Text => {
            let Terminal { width, color, ascii } = Terminal::stdout(asked.look);
            match_text(job, report, &Style { width, color, ascii })
        }
        Format::Json => match_json(job, report),
        Format::Csv => match_csv(job, report),
    }
}

/// The report of a job whose matches lack something: what each of them lacks.
fn unplanned(loaded: &Loaded, only: Option<&str>) -> JobReport {
    let asked = loaded.job.matches.iter().enumerate().filter(|(_, one)| only.is_none_or(|name| name == one.name));
    let matches = asked.map(|(index, one)| {
        let mine = loaded.missing.iter().filter(|need| need.matching.is_none_or(|matching| matching == index));
        let lacks = mine.map(|need| Lack { fit: one.aim.fit, what: need.diagnostic.message.clone() });
        MatchReport { index, outcome: Outcome::Missing(lacks.collect()) }
    });
    JobReport {
        readings: None,
        pours: None,
        before: Vec::new(),
        matches: matches.collect(),
        ledger: None,
        cautions: Vec::new(),
    }
}

fn unknown_match<'n>(job: &Job, only: Option<&'n str>) -> Option<&'n str> {
    only.filter(|name| !job.matches.iter().any(|matching| matching.name == *name))
}

fn names(job: &Job) -> String {
    let names: Vec<_> = job.matches.iter().map(|matching| format!("`{}`", matching.name)).collect();
    names.join(", ")
}

/// The exit status for a report: a plan that holds every limit, for every match asked for, and every clearance of the
/// ledger held.
fn verdict(report: &JobReport) -> Exit {
    let held = |planned: &Planned| planned.plan.limits.iter().all(|limit| limit.state == LimitState::Held);
    let good = report.matches.iter().all(|report| match &report.outcome {
        Outcome::Planned(planned) => held(planned),
        Outcome::Impossible(_) | Outcome::Undecided | Outcome::Missing(_) => false,
    });
    let carried = report.ledger.iter().flat_map(|ledger| &ledger.entries).all(|entry| entry.state == State::Held);
    if good && carried && !report.matches.is_empty() { Exit::Done } else { Exit::NotHeld }
}
