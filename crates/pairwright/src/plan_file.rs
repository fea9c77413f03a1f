//! A plan with its proof as a file: what `match --proof` writes and `recheck` reads.
//!
//! ```text
//! pairwright plan 1
//! match short block
//! cylinder 1                   every position in bank order, and below it
//! part H                       the part that goes there
//! …
//! values 42334 5 8             the value of every criterion, in order
//! pairwright proof 1           the proof, as `pairwright-proof` writes it
//! …
//! ```
//!
//! A file holds one such section for every match that has a plan.

use pairwright_engine::job::{Job, Matching};
use pairwright_engine::outcome::{JobReport, Outcome};
use pairwright_engine::plan::Certificate;
use pairwright_proof::{ParseError, parse_proof, write_proof};

const FIRST_LINE: &str = "pairwright plan 1";

/// A section of a plan file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// Index of the match in the job.
    pub matching: usize,
    /// The plan and its proof.
    pub certificate: Certificate,
}

/// Why a text is no plan file of a job.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PlanFileError {
    /// A line is not what has to stand there.
    #[error("line {line}: expected {expected}, found `{found}`")]
    Line {
        /// The line, from 1.
        line: usize,
        /// What has to stand there.
        expected: String,
        /// What stands there; empty at the end of the text.
        found: String,
    },
    /// The proof of a section cannot be read.
    #[error("the proof that begins at line {line}: {source}")]
    Proof {
        /// The line at which the proof begins.
        line: usize,
        /// What is wrong with it, its lines counted from there.
        source: ParseError,
    },
}

/// The plans of a report with their proofs; empty where there is none.
#[must_use]
pub fn write(job: &Job, report: &JobReport) -> String {
    let planned = report.matches.iter().filter_map(|one| match &one.outcome {
        Outcome::Planned(planned) => Some(section(job, &job.matches[one.index], &planned.certificate)),
        Outcome::Impossible(_) | Outcome::Missing(_) => None,
    });
    planned.flatten().collect()
}

fn section(job: &Job, matching: &Matching, certificate: &Certificate) -> Option<String> {
    let (positions, stock) = placed(job)?;
    let parts = certificate.parts.iter().map(|&part| &stock.parts[part].id);
    let placed =
        positions.ids.iter().zip(parts).map(|(position, part)| format!("{} {position}\npart {part}\n", positions.kind));
    let placed: String = placed.collect();
    let values: Vec<String> = certificate.values.iter().map(ToString::to_string).collect();
    let (name, values, proof) = (&matching.name, values.join(" "), write_proof(&certificate.proof));
    Some(format!("{FIRST_LINE}\nmatch {name}\n{placed}values {values}\n{proof}"))
}

fn placed(job: &Job) -> Option<(&pairwright_engine::job::Positions, &pairwright_engine::job::Stock)> {
    job.positions("cylinder").zip(job.stock("piston"))
}

/// The sections of a plan file, its labels looked up in the job.
///
/// # Errors
/// [`PlanFileError`] with the first line that is wrong.
pub fn read(job: &Job, text: &str) -> Result<Vec<Section>, PlanFileError> {
    let mut lines = Lines { all: text.lines().collect(), at: 0 };
    let mut sections = Vec::new();
    while lines.at < lines.all.len() {
        sections.push(lines.section(job)?);
    }
    if sections.is_empty() {
        return Err(lines.wrong(&format!("`{FIRST_LINE}`")));
    }
    Ok(sections)
}

struct Lines<'t> {
    all: Vec<&'t str>,
    at: usize,
}

impl<'t> Lines<'t> {
    fn section(&mut self, job: &Job) -> Result<Section, PlanFileError> {
        self.take(&format!("`{FIRST_LINE}`"), |line| (line == FIRST_LINE).then_some(()))?;
        let named = |line: &str| {
            job.matches.iter().position(|matching| Some(matching.name.as_str()) == line.strip_prefix("match "))
        };
        let matching = self.take("the name of a match of the job", named)?;
        let mut parts = Vec::new();
        if let Some((positions, stock)) = placed(job) {
            for id in &positions.ids {
                let wanted = format!("{} {id}", positions.kind);
                self.take(&format!("`{wanted}`"), |line| (line == wanted).then_some(()))?;
                let known = |line: &str| {
                    stock.parts.iter().position(|part| Some(part.id.as_str()) == line.strip_prefix("part "))
                };
                parts.push(self.take("a part of the stock", known)?);
            }
        }
        let numbers = |line: &str| -> Option<Vec<i128>> {
            line.strip_prefix("values")?.split_whitespace().map(|word| word.parse().ok()).collect()
        };
        let values = self.take("the values of the criteria", numbers)?;
        let proof = self.proof()?;
        Ok(Section { matching, certificate: Certificate { parts, values, proof } })
    }

    fn proof(&mut self) -> Result<pairwright_proof::Proof, PlanFileError> {
        let start = self.at;
        let end =
            self.all[start..].iter().position(|&line| line == FIRST_LINE).map_or(self.all.len(), |more| start + more);
        self.at = end;
        parse_proof(&self.all[start..end].join("\n")).map_err(|source| PlanFileError::Proof { line: start + 1, source })
    }

    fn take<T>(&mut self, expected: &str, read: impl FnOnce(&'t str) -> Option<T>) -> Result<T, PlanFileError> {
        let found = self.all.get(self.at).copied().and_then(read).ok_or_else(|| self.wrong(expected))?;
        self.at += 1;
        Ok(found)
    }

    fn wrong(&self, expected: &str) -> PlanFileError {
        let found = self.all.get(self.at).copied().unwrap_or_default().to_owned();
        PlanFileError::Line { line: self.at + 1, expected: expected.to_owned(), found }
    }
}
