//! Indices back to the labels of the job, ticks back to its units.

use pairwright_engine::job::{DeckReading, DeckReadings, FitName, Job, Matching, Positions, Stock};
use pairwright_engine::quantity::{Dimension, Unit};
use pairwright_engine::readings::Finding;

/// A match as its report refers to it: by index into positions and stocks.
///
/// An index that the job does not have reads as `?`; a report made from the job has none.
#[derive(Clone, Copy, Debug)]
pub(crate) struct View<'a> {
    pub(crate) job: &'a Job,
    pub(crate) matching: &'a Matching,
}

const UNKNOWN: &str = "?";

impl<'a> View<'a> {
    /// The match at `index` of the job.
    pub(crate) fn of(job: &'a Job, index: usize) -> Option<Self> {
        Some(Self { job, matching: job.matches.get(index)? })
    }

    /// The positions that the match fills.
    pub(crate) fn positions(self) -> Option<&'a Positions> {
        self.job.positions("cylinder").or(self.job.positions.first())
    }

    /// What a position is called: `cylinder`.
    pub(crate) fn position_kind(self) -> &'a str {
        self.positions().map_or("position", |positions| &positions.kind)
    }

    /// The label of a position.
    pub(crate) fn position(self, index: usize) -> &'a str {
        self.positions().and_then(|positions| positions.ids.get(index)).map_or(UNKNOWN, String::as_str)
    }

    /// The bank that a position lies on.
    pub(crate) fn bank(self, position: usize) -> Option<&'a str> {
        let bank = self.positions()?.banks.get(position).copied().flatten()?;
        Some(&self.job.banks.get(bank)?.name)
    }

    /// The kind of part of a role: `piston`.
    pub(crate) fn kind(self, role: usize) -> &'a str {
        self.matching.place.get(role).map_or("part", |role| &role.kind)
    }

    /// The stock of a role.
    pub(crate) fn stock(self, role: usize) -> Option<&'a Stock> {
        self.job.stock(self.kind(role))
    }

    /// The label of a part.
    pub(crate) fn part(self, role: usize, index: usize) -> &'a str {
        self.stock(role).and_then(|stock| stock.parts.get(index)).map_or(UNKNOWN, |part| &part.id)
    }

    /// Where a part stands now, where the stock says so.
    pub(crate) fn stands_at(self, role: usize, part: usize) -> Option<usize> {
        self.stock(role)?.parts.get(part)?.at
    }

    /// Whether the stock of a role says where any part stands.
    pub(crate) fn knows_where_parts_stand(self, role: usize) -> bool {
        self.stock(role).is_some_and(|stock| stock.parts.iter().any(|part| part.at.is_some()))
    }

    /// The unit that values of a dimension are shown in.
    pub(crate) fn unit(self, dimension: Dimension) -> Unit {
        unit_of(self.job, dimension)
    }

    /// The unit that a fit is shown in.
    pub(crate) fn unit_of(self, fit: FitName) -> Unit {
        self.unit(fit.dimension())
    }
}

/// The unit that values of `dimension` are shown in: the job's for lengths, for anything else the
/// one that the job's own files use, else the metric one.
pub(crate) fn unit_of(job: &Job, dimension: Dimension) -> Unit {
    let usual = match dimension {
        Dimension::Length => return job.units,
        Dimension::Volume => Unit::CubicCentimetre,
        Dimension::Mass => Unit::Gram,
        Dimension::Ratio => Unit::One,
        Dimension::Money => Unit::Money,
    };
    let columns = job.stocks.iter().flat_map(|stock| stock.columns.iter());
    let typed = columns.flat_map(|column| column.values.iter().flatten()).map(|amount| amount.unit());
    typed.into_iter().find(|unit| unit.dimension() == dimension).unwrap_or(usual)
}

/// Ticks as a number of `unit`: the nearest double to the true quotient.
pub(crate) fn number(ticks: f64, unit: Unit) -> f64 {
    let (numerator, denominator) = unit.ticks();
    if denominator == 1 { ticks / numerator as f64 } else { ticks / unit.ticks_f64() }
}

/// A job with its readings: what a finding refers to by line, part and position.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bench<'a> {
    pub(crate) job: &'a Job,
    pub(crate) deck: &'a DeckReadings,
}

impl<'a> Bench<'a> {
    /// The reading on a line of the file.
    pub(crate) fn row(self, line: u32) -> Option<&'a DeckReading> {
        self.deck.rows.iter().find(|row| row.line == line)
    }

    /// The label of a cylinder.
    pub(crate) fn position(self, index: usize) -> &'a str {
        let ids = self.job.positions("cylinder").map(|positions| &positions.ids);
        ids.and_then(|ids| ids.get(index)).map_or(UNKNOWN, String::as_str)
    }

    /// The label of a piston.
    pub(crate) fn piston(self, index: usize) -> &'a str {
        self.part("piston", index)
    }

    /// The label of a rod.
    pub(crate) fn rod(self, index: usize) -> &'a str {
        self.part("rod", index)
    }

    /// The name of a bank.
    pub(crate) fn bank(self, index: usize) -> Option<&'a str> {
        self.job.banks.get(index).map(|bank| bank.name.as_str())
    }

    fn part(self, kind: &str, index: usize) -> &'a str {
        self.job.stock(kind).and_then(|stock| stock.parts.get(index)).map_or(UNKNOWN, |part| &part.id)
    }
}

/// The lines that a finding is about; none where it is about all of them.
pub(crate) fn lines_of(finding: &Finding) -> Vec<u32> {
    match finding {
        Finding::Outlier { line, .. } | Finding::LeftOut { line, .. } => vec![*line],
        Finding::PairDisagrees { lines, .. } => lines.to_vec(),
        Finding::CircleDisagrees { lines, .. }
        | Finding::LackOfFit { lines, .. }
        | Finding::UnevenSpots { lines, .. }
        | Finding::Unchecked { lines } => lines.clone(),
        _ => Vec::new(),
    }
}
