//! What the readings say about themselves, as JSON.

use pairwright_engine::job::{Job, Positive};
use pairwright_engine::quantity::Unit;
use pairwright_engine::readings as engine;
use pairwright_engine::readings::Source;
use pairwright_engine::reduction::ReadingsReport;

use super::readings_document::{Finding, Found, Readings, Repeatability, Resolution, Tie, Untied};
use super::values::finite;
use crate::render::view::{Bench, lines_of, number};

/// The report on the readings of the job; nothing without a readings file.
pub(super) fn readings(job: &Job, report: &ReadingsReport) -> Option<Readings> {
    let deck = job.deck.as_ref()?;
    let bench = Bench { job, deck };
    Some(Readings {
        file: deck.file.clone(),
        positive: match deck.positive {
            Positive::Above => "above",
            Positive::Below => "below",
        },
        control_rod: deck.control_rod.map(|rod| bench.rod(rod).to_owned()),
        count: report.readings,
        used: report.used,
        repeatability: repeatability(&report.repeatability, job.units),
        resolution: resolution(report.resolution, report.resolution_from_decimals, job.units),
        findings: report.findings.iter().map(|found| finding(bench, found)).collect(),
        untied: report.untied.as_ref().map(|found| untied(bench, found)),
    })
}

/// How well a reading or a pour repeats, from ticks.
pub(super) fn repeatability(repeats: &engine::Repeatability, unit: Unit) -> Repeatability {
    Repeatability {
        value: number(repeats.s, unit),
        as_read: number(repeats.as_read, unit),
        unit: unit.symbol().to_owned(),
        dof: finite(repeats.dof.value()),
        source: match repeats.source {
            Source::Residuals => "residuals",
            Source::Stated => "stated",
            Source::Pooled => "pooled",
            Source::ResolutionOnly => "resolution only",
            Source::Nothing => "nothing",
        },
    }
}

/// The smallest step of a gauge or a burette, from ticks.
pub(super) fn resolution(step: f64, from_decimals: bool, unit: Unit) -> Resolution {
    Resolution { value: number(step, unit), unit: unit.symbol().to_owned(), from_decimals }
}

fn finding(bench: Bench<'_>, finding: &engine::Finding) -> Finding {
    Finding {
        file: bench.deck.file.clone(),
        lines: lines_of(finding),
        unit: bench.job.units.symbol().to_owned(),
        found: found(bench, finding),
    }
}

fn found(bench: Bench<'_>, finding: &engine::Finding) -> Found {
    let value = |nm: f64| number(nm, bench.job.units);
    match finding {
        engine::Finding::Outlier { line, value: read, expected, others, t, p } => {
            let row = bench.row(*line);
            Found::Disagrees {
                position: row.map(|row| bench.position(row.position).to_owned()),
                part: row.map(|row| bench.piston(row.part).to_owned()),
                read: value(*read),
                expected: value(*expected),
                others: *others,
                t: *t,
                p: *p,
            }
        }
        engine::Finding::PairDisagrees { apart, p, .. } => Found::PairDisagrees { apart: value(*apart), p: *p },
        engine::Finding::CircleDisagrees { off, p, .. } => Found::CircleDisagrees { off: value(*off), p: *p },
        engine::Finding::LackOfFit { f, p, part, position, off, .. } => Found::LackOfFit {
            position: bench.position(position.index()).to_owned(),
            part: bench.piston(part.index()).to_owned(),
            off: value(*off),
            f: *f,
            p: *p,
        },
        engine::Finding::ScatterAboveStated { found, stated, p } => {
            Found::ScatterAboveStated { found: value(*found), stated: value(*stated), p: *p }
        }
        engine::Finding::AllEqual { readings, value: read } => {
            Found::AllEqual { read: value(*read), readings: *readings }
        }
        engine::Finding::UnevenSpots { apart, .. } => Found::UnevenSpots { apart: apart.map(value) },
        engine::Finding::Unchecked { .. } => Found::Unchecked,
        engine::Finding::LeftOut { value: read, expected, .. } => {
            Found::LeftOut { read: value(*read), expected: expected.map(value) }
        }
        engine::Finding::LineNotDrawn { bank, measured, needed } => Found::LineNotDrawn {
            bank: bench.bank(bank.index()).map(str::to_owned),
            measured: *measured,
            needed: *needed,
        },
        _ => Found::Unknown,
    }
}

fn untied(bench: Bench<'_>, untied: &engine::Untied) -> Untied {
    let tie = |tie: &engine::Tie| Tie {
        position: bench.position(tie.position.index()).to_owned(),
        part: bench.piston(tie.part.index()).to_owned(),
    };
    Untied {
        pairs: untied.pairs,
        positions: untied.positions.iter().map(|id| bench.position(id.index()).to_owned()).collect(),
        parts: untied.parts.iter().map(|id| bench.piston(id.index()).to_owned()).collect(),
        ties: untied.ties.iter().map(tie).collect(),
    }
}
