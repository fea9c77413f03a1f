//! `compare`: every what-if of a job, planned and laid side by side.

use std::io::{self, Write};

use pairwright_engine::job::Job;
use pairwright_engine::what_if::{Comparison, RowOutcome, compare as compare_what_ifs};

use super::loading::{job_at, tell_missing, write_notes};
use crate::Exit;
use crate::args::{CompareArguments, CompareFormat};
use crate::render::{CompareView, Style, compare_csv, compare_json, compare_text};
use crate::terminal::Terminal;

/// Reads the job, plans every what-if, prints the table.
pub(crate) fn compare(asked: &CompareArguments, out: &mut dyn Write, err: &mut dyn Write) -> io::Result<Exit> {
    let color = Terminal::stderr(asked.look).color;
    let loaded = match job_at(&asked.job, color, err)? {
        Ok(loaded) => loaded,
        Err(exit) => return Ok(exit),
    };
    write_notes(&loaded, color, err)?;
    let job = &loaded.job;
    let matching = match matching(job, asked) {
        Ok(matching) => matching,
        Err(message) => {
            writeln!(err, "error: {message}")?;
            return Ok(Exit::Wrong);
        }
    };
    if tell_missing(&loaded, |at| at <= matching, color, err)? {
        return Ok(Exit::NotHeld);
    }
    let wanted = |name: &str| asked.only.is_empty() || asked.only.iter().any(|only| only == name);
    let comparison = match compare_what_ifs(job, matching, |what_if| wanted(&what_if.name)) {
        Ok(comparison) => comparison,
        Err(error) => {
            writeln!(err, "error: {error}")?;
            return Ok(Exit::Wrong);
        }
    };
    let view = CompareView { job, comparison: &comparison, order: asked.sort, headroom: asked.headroom };
    let text = match asked.format {
        CompareFormat::Text => {
            let Terminal { width, color, ascii } = Terminal::stdout(asked.look);
            compare_text(view, &Style { width, color, ascii })
        }
        CompareFormat::Json => compare_json(view),
        CompareFormat::Csv => compare_csv(view),
    };
    out.write_all(text.as_bytes())?;
    out.flush()?;
    Ok(verdict(&comparison))
}

/// The index of the match to compare; a message where a name that was given is not there.
fn matching(job: &Job, asked: &CompareArguments) -> Result<usize, String> {
    let listed = |names: Vec<&str>| names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ");
    let known: Vec<&str> = job.what_ifs.iter().map(|what_if| what_if.name.as_str()).collect();
    if let Some(only) = asked.only.iter().find(|only| !known.contains(&only.as_str())) {
        return Err(if known.is_empty() {
            format!("the job has no what-if called `{only}`; it has none at all")
        } else {
            format!("the job has no what-if called `{only}`; it has {}", listed(known))
        });
    }
    let Some(name) = asked.matching.as_deref() else { return Ok(0) };
    job.matches.iter().position(|matching| matching.name == name).ok_or_else(|| {
        let known = job.matches.iter().map(|matching| matching.name.as_str()).collect();
        format!("the job has no match called `{name}`; it has {}", listed(known))
    })
}

/// Done where the job as it stands has a plan that holds every limit and leaves enough of every clearance. A what-if
/// without one has its answer in its row.
fn verdict(comparison: &Comparison) -> Exit {
    match &comparison.stands.outcome {
        RowOutcome::Planned(planned) if planned.holds() => Exit::Done,
        _ => Exit::NotHeld,
    }
}
