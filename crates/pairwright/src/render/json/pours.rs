//! What the pours of chambers say about themselves, as JSON.

use pairwright_engine::job::{ChamberReading, Job};
use pairwright_engine::readings::Finding;
use pairwright_engine::reduction::PoursReport;

use super::pours_document::{PourFinding, PourFound, Pours};
use super::readings::{repeatability, resolution};
use crate::render::view::{Burette, lines_of, number};

/// The report on the pours of the job; nothing without a file of pours.
pub(super) fn pours(job: &Job, report: &PoursReport) -> Option<Pours> {
    let pours = job.chambers.as_ref()?;
    let burette = Burette { job, pours };
    let unit = burette.unit();
    Some(Pours {
        file: pours.file.clone(),
        count: report.readings,
        used: report.used,
        repeatability: repeatability(&report.repeatability, unit),
        resolution: resolution(report.resolution, report.resolution_from_decimals, unit),
        findings: report.findings.iter().map(|found| finding(burette, found)).collect(),
    })
}

fn finding(burette: Burette<'_>, finding: &Finding) -> PourFinding {
    let lines = lines_of(finding);
    let poured = chamber(burette, &lines);
    PourFinding {
        file: burette.pours.file.clone(),
        unit: burette.unit().symbol().to_owned(),
        head: poured.map(|row| burette.head(row.head).to_owned()),
        chamber: poured.map(|row| row.chamber + 1),
        found: found(burette, finding),
        lines,
    }
}

/// A pour of the one chamber that all lines are of; none where they are of several.
fn chamber<'a>(burette: Burette<'a>, lines: &[u32]) -> Option<&'a ChamberReading> {
    let first = burette.row(*lines.first()?)?;
    let same = |row: &ChamberReading| (row.head, row.chamber) == (first.head, first.chamber);
    lines.iter().all(|&line| burette.row(line).is_some_and(same)).then_some(first)
}

fn found(burette: Burette<'_>, finding: &Finding) -> PourFound {
    let value = |ticks: f64| number(ticks, burette.unit());
    match finding {
        Finding::Outlier { value: read, expected, others, t, p, .. } => {
            PourFound::Disagrees { read: value(*read), expected: value(*expected), others: *others, t: *t, p: *p }
        }
        Finding::PairDisagrees { apart, p, .. } => PourFound::PairDisagrees { apart: value(*apart), p: *p },
        Finding::ScatterAboveStated { found, stated, p } => {
            PourFound::ScatterAboveStated { found: value(*found), stated: value(*stated), p: *p }
        }
        Finding::AllEqual { readings, value: read } => PourFound::AllEqual { read: value(*read), readings: *readings },
        Finding::Unchecked { .. } => PourFound::Unchecked,
        Finding::LeftOut { value: read, expected, .. } => {
            PourFound::LeftOut { read: value(*read), expected: expected.map(value) }
        }
        _ => PourFound::Unknown,
    }
}
