//! Indices back to the labels of the job, ticks back to its units.

use pairwright_engine::explain::Flagged;
use pairwright_engine::job::{
    ChamberReading, ChamberReadings, DeckReading, DeckReadings, FitName, HeadSeat, Job, Matching, Positions, Scope,
    Stock,
};
use pairwright_engine::plan::Placement;
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
        self.job.positions_of(self.matching)
    }

    /// What a position is called: `cylinder`.
    pub(crate) fn position_kind(self) -> &'a str {
        self.positions().map_or("position", |positions| &positions.kind)
    }

    /// The label of a position, or of one behind those that the match serves.
    pub(crate) fn position(self, index: usize) -> &'a str {
        self.positions().and_then(|positions| positions.label(index)).unwrap_or(UNKNOWN)
    }

    /// The file of what disagrees with its like.
    pub(crate) fn file_of(self, flagged: Flagged) -> Option<&'a str> {
        match flagged {
            Flagged::Reading => self.job.deck.as_ref().map(|deck| deck.file.as_str()),
            Flagged::Pour => self.job.chambers.as_ref().map(|pours| pours.file.as_str()),
        }
    }

    /// The bank that a position lies on.
    pub(crate) fn bank(self, position: usize) -> Option<&'a str> {
        Some(&self.job.banks.get(self.bank_index(position)?)?.name)
    }

    /// The index of the bank that a position lies on.
    pub(crate) fn bank_index(self, position: usize) -> Option<usize> {
        self.positions()?.banks.get(position).copied().flatten()
    }

    /// The kinds of which the match places a part a position, in the order of `place`.
    fn kinds_a_position(self) -> impl Iterator<Item = &'a str> {
        let kinds = self.matching.place.iter().map(|role| role.kind.as_str());
        kinds.filter(move |kind| self.matching.scope(kind) == Scope::Position)
    }

    /// The kind that the parts of a report belong to where it does not name one: pistons, where they are placed or
    /// nothing else is placed a position.
    pub(crate) fn first_kind(self) -> &'a str {
        let piston = self.kinds_a_position().find(|kind| *kind == "piston");
        piston.or_else(|| self.kinds_a_position().next()).unwrap_or("piston")
    }

    /// The kind that is chosen a position beside the first, where there is one.
    pub(crate) fn second_kind(self) -> Option<&'a str> {
        self.kinds_a_position().find(|kind| *kind != self.first_kind())
    }

    /// Whether the match places parts of the first kind; else they stay where they stand.
    pub(crate) fn places_first_kind(self) -> bool {
        self.matching.role(self.first_kind()).is_some()
    }

    /// Whether the match places parts that serve a bank or the engine.
    pub(crate) fn places_settings(self) -> bool {
        self.matching.place.iter().any(|role| self.matching.scope(&role.kind) != Scope::Position)
    }

    /// The part of the first kind at a placement.
    pub(crate) fn first_part(self, place: &Placement) -> Option<usize> {
        let whole = self.positions()?.among_all(place.position);
        match self.matching.role(self.first_kind()) {
            Some(role) => place.parts.get(role).copied(),
            None => self.job.stock(self.first_kind())?.parts.iter().position(|part| part.at == Some(whole)),
        }
    }

    /// The label of a part of a kind.
    pub(crate) fn part_of(self, kind: &str, index: usize) -> &'a str {
        self.job.stock(kind).and_then(|stock| stock.parts.get(index)).map_or(UNKNOWN, |part| &part.id)
    }

    /// The name of the bank at an index.
    pub(crate) fn bank_name(self, bank: usize) -> &'a str {
        self.job.banks.get(bank).map_or(UNKNOWN, |bank| &bank.name)
    }

    /// The position behind another on its bank.
    pub(crate) fn next_on_bank(self, position: usize) -> Option<usize> {
        let rows = self.positions()?.rows(&self.job.banks);
        rows.iter().find_map(|row| row.windows(2).find(|two| two[0] == position).map(|two| two[1]))
    }

    /// The chamber that stands over a position, counted from 1 at the end of the head that is the front when it sits
    /// as measured.
    pub(crate) fn chamber_over(self, position: usize) -> Option<usize> {
        let position = self.positions()?.among_all(position);
        let bank = self.job.banks.iter().find(|bank| bank.cylinders.contains(&position))?;
        let place = bank.cylinders.iter().position(|&known| known == position)?;
        Some(match bank.head {
            Some(HeadSeat::Turned) => bank.cylinders.len() - place,
            Some(HeadSeat::AsMeasured) | None => place + 1,
        })
    }

    /// The kind of part of a role: `piston`.
    pub(crate) fn kind(self, role: usize) -> &'a str {
        self.matching.place.get(role).map_or("part", |role| &role.kind)
    }

    /// What a part of a role is called in its place: `piston`, `upper`.
    pub(crate) fn role_name(self, role: usize) -> &'a str {
        self.matching.place.get(role).map_or("part", |role| &role.name)
    }

    /// The roles that take a part of one kind in every position, where several do.
    pub(crate) fn of_one_kind(self) -> Vec<usize> {
        self.matching.of_one_kind()
    }

    /// The parts of a position where it takes several of one kind, in the order of their roles.
    pub(crate) fn together(self, parts: &[usize], beside: &[usize], position: usize) -> Vec<usize> {
        let others = self.of_one_kind().len().saturating_sub(1);
        let beside = beside.iter().skip(position * others).take(others);
        parts.get(position).into_iter().chain(beside).copied().collect()
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
        let at = self.stock(role)?.parts.get(part)?.at?;
        let in_position = self.matching.scope(self.kind(role)) == Scope::Position;
        Some(if in_position { self.positions()?.within(at) } else { at })
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
        self.unit(self.job.fits.dimension(fit))
    }

    /// The name of a fit in JSON and CSV.
    pub(crate) fn fit_name(self, fit: FitName) -> &'a str {
        self.job.fits.name(fit)
    }

    /// The name of a fit in a sentence.
    pub(crate) fn phrase(self, fit: FitName) -> &'a str {
        self.job.fits.phrase(fit)
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

/// A job with the pours of its chambers: what a finding refers to by line, head and chamber.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Burette<'a> {
    pub(crate) job: &'a Job,
    pub(crate) pours: &'a ChamberReadings,
}

impl<'a> Burette<'a> {
    /// The pour on a line of the file.
    pub(crate) fn row(self, line: u32) -> Option<&'a ChamberReading> {
        self.pours.rows.iter().find(|row| row.line == line)
    }

    /// The label of a head.
    pub(crate) fn head(self, index: usize) -> &'a str {
        self.job.stock("head").and_then(|stock| stock.parts.get(index)).map_or(UNKNOWN, |part| &part.id)
    }

    /// The unit that volumes are shown in.
    pub(crate) fn unit(self) -> Unit {
        unit_of(self.job, Dimension::Volume)
    }
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
