//! `check`: everything that is wrong with a job, and what a match would still need.

use std::io::{self, Write};

use pairwright_engine::job::Job;
use pairwright_engine::outcome::{Lacking, lacking};
use pairwright_engine::plan::PlanError;
use pairwright_engine::readings::{PartId, PositionId, Tie};

use super::loading::refusal;
use crate::Exit;
use crate::args::{CheckArguments, CheckFormat};
use crate::diagnostic::{self, Diagnostic, Severity};
use crate::input::{self, Loaded};
use crate::noun;
use crate::terminal::Terminal;

/// Validates a job folder.
pub(crate) fn check(asked: &CheckArguments, out: &mut dyn Write, err: &mut dyn Write) -> io::Result<Exit> {
    let color = Terminal::stdout(asked.look).color;
    let loaded = match input::load(&asked.job) {
        Ok(loaded) => loaded,
        Err(found) => {
            match asked.format {
                CheckFormat::Json => writeln!(out, "{}", json(false, &found.items, &[], &[]))?,
                CheckFormat::Text => {
                    write!(out, "{}", diagnostic::render(&found.items, &found.sources, color))?;
                    writeln!(out, "\n{}", counted(&found.items))?;
                }
            }
            return Ok(refusal(&found));
        }
    };
    let Needs { needs, wishes } = match all_needs(&loaded) {
        Ok(needs) => needs,
        Err(error) => {
            writeln!(err, "error: {error}")?;
            return Ok(Exit::Wrong);
        }
    };
    let mut findings = loaded.notes.clone();
    findings.extend(loaded.missing.iter().map(|need| need.diagnostic.clone()));
    match asked.format {
        CheckFormat::Json => writeln!(out, "{}", json(true, &findings, &needs, &wishes))?,
        CheckFormat::Text => {
            write!(out, "{}", diagnostic::render(&findings, &loaded.sources, color))?;
            write!(out, "{}", summary(&loaded.job, &needs, loaded.missing.len()))?;
            write!(out, "{}", widened(&wishes))?;
        }
    }
    Ok(if needs.is_empty() && loaded.missing.is_empty() { Exit::Done } else { Exit::NotHeld })
}

/// What the engine finds missing, and what would only widen the choice.
struct Needs {
    needs: Vec<String>,
    wishes: Vec<String>,
}

/// Asks the engine; a match that lacks cells is not asked about a second time.
fn all_needs(loaded: &Loaded) -> Result<Needs, PlanError> {
    let reported = |index: usize| loaded.missing.iter().any(|need| need.matching == Some(index));
    let lacking = lacking(&loaded.job)?.into_iter().filter(|lacking| match lacking {
        Lacking::ForMatch { index, .. } => !reported(*index),
        Lacking::Ties(_) | Lacking::WiderChoice(_) => true,
    });
    let (wishes, needs): (Vec<_>, Vec<_>) = lacking.partition(|lacking| matches!(lacking, Lacking::WiderChoice(_)));
    let text = |all: &[Lacking]| all.iter().flat_map(|lacking| needed(&loaded.job, lacking)).collect();
    Ok(Needs { needs: text(&needs), wishes: text(&wishes) })
}

fn counted(findings: &[Diagnostic]) -> String {
    match findings.iter().filter(|item| item.severity == Severity::Error).count() {
        1 => "1 thing to put right".to_owned(),
        many => format!("{many} things to put right"),
    }
}

/// What the job holds, and what its matches would still need.
fn summary(job: &Job, needs: &[String], cells: usize) -> String {
    let mut lines = vec![format!("{}: the job is sound", job.title)];
    for positions in job.positions.iter().filter(|positions| positions.order.is_empty()) {
        lines.push(format!("  {}: {}", plural(positions.len(), &positions.kind), positions.ids.join(", ")));
    }
    for stock in &job.stocks {
        let idle = stock.parts.iter().filter(|part| part.fits.as_ref().is_some_and(Vec::is_empty)).count();
        let control = if idle > 0 { format!(", {idle} of them never placed (`fits` is none)") } else { String::new() };
        let pieces = (0..stock.parts.len()).filter(|&part| stock.is_further_piece(part)).count();
        let types = stock.parts.iter().filter(|part| part.is_type()).count() - pieces;
        let of_types = if types > 0 && types + pieces < stock.parts.len() {
            format!(", {types} of them types of which there are several")
        } else {
            String::new()
        };
        let rows = plural(stock.parts.len() - pieces, &stock.kind);
        lines.push(format!("  {rows} in {}{of_types}{control}", stock.file));
    }
    if let Some(deck) = &job.deck {
        lines.push(format!("  {} in {}", plural(deck.rows.len(), "reading"), deck.file));
    }
    if let Some(chambers) = &job.chambers {
        lines.push(format!("  {} in {}", plural(chambers.rows.len(), "pour"), chambers.file));
    }
    if !job.ledger.entries.is_empty() {
        let file = job.ledger.file.as_deref().map_or_else(String::new, |file| format!(" in {file}"));
        lines.push(format!("  {}{file}", plural(job.ledger.entries.len(), "measured clearance")));
    }
    if !job.what_ifs.is_empty() {
        lines.push(format!("  {}", plural(job.what_ifs.len(), "what-if")));
    }
    lines.push(String::new());
    if needs.is_empty() && cells == 0 {
        lines.push("Nothing is missing for the matches asked for.".to_owned());
    } else if needs.is_empty() {
        lines.push("Still needed: what is listed above.".to_owned());
    } else {
        lines.push("Still needed:".to_owned());
        lines.extend(needs.iter().map(|need| format!("  {need}")));
    }
    lines.join("\n") + "\n"
}

/// Readings that a match can do without.
fn widened(wishes: &[String]) -> String {
    let lines = wishes.iter().map(|wish| format!("  {wish}\n"));
    if wishes.is_empty() { String::new() } else { format!("\nFor a wider choice:\n{}", lines.collect::<String>()) }
}

fn plural(count: usize, noun: &str) -> String {
    if count == 1 { format!("1 {noun}") } else { format!("{count} {}", noun::plural(noun)) }
}

fn needed(job: &Job, lacking: &Lacking) -> Vec<String> {
    match lacking {
        Lacking::ForMatch { index, lacks } => {
            let name = &job.matches[*index].name;
            lacks.iter().map(|lack| format!("match `{name}`, {}: {}", job.fits.phrase(lack.fit), lack.what)).collect()
        }
        Lacking::Ties(untied) | Lacking::WiderChoice(untied) => {
            let label = |position: PositionId| {
                job.positions("cylinder").map_or("?", |known| known.ids[position.index()].as_str())
            };
            let piston = |part: PartId| job.stock("piston").map_or("?", |known| known.parts[part.index()].id.as_str());
            let mut needs = Vec::new();
            if !untied.positions.is_empty() {
                let ids: Vec<_> = untied.positions.iter().map(|&position| label(position)).collect();
                needs.push(format!("no reading reaches cylinder {}", ids.join(", ")));
            }
            let read = |tie: &Tie| {
                let why = if untied.parts.contains(&tie.part) { ", which no reading has yet" } else { "" };
                format!("read piston {} in cylinder {}{why}", piston(tie.part), label(tie.position))
            };
            needs.extend(untied.ties.iter().take(LISTED).map(read));
            if untied.ties.len() > LISTED {
                needs.push(format!("further readings{}", and_more(untied.ties.len())));
            }
            needs
        }
    }
}

/// At most so many labels are listed.
const LISTED: usize = 20;

fn and_more(count: usize) -> String {
    if count > LISTED { format!(" and {} more", count - LISTED) } else { String::new() }
}

/// The findings and needs as JSON, format 1.
fn json(sound: bool, findings: &[Diagnostic], needed: &[String], wider: &[String]) -> String {
    let value = serde_json::json!({ "format": 1, "sound": sound, "findings": findings, "needed": needed, "wider_choice": wider });
    format!("{value:#}")
}
