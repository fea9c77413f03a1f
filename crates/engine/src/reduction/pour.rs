//! The pours of a job's chambers: repeats reduced like dial readings.

use super::observe::{part_id, position_id};
use crate::job::{ChamberReading, ChamberReadings, Job};
use crate::readings::{Effects, Finding, Gauge, PartId, Reading, ReduceError, Repeatability, reduce};
use crate::statistics::Dof;

/// More chambers than any head has: a slip of the pen must not fill the memory.
pub(crate) const MOST: usize = 64;

/// The chambers that were poured, and what the pours say about themselves. Volumes are ticks of
/// 1e-6 cc throughout.
///
/// Every chamber counts as a part of its own that is read in one and the same position: a chamber's
/// value is the mean of its pours, one repeatability is pooled over all chambers (with the stated
/// one at 10 degrees of freedom), the step of the burette bounds every mean from below
/// (JCGM 100:2008, F.2.2.1), and pours that disagree are found as readings are.
#[derive(Clone, Debug)]
pub struct ChamberReduction {
    chambers_a_head: usize,
    volumes: Vec<Option<Poured>>,
    report: PoursReport,
}

/// The volume of a poured chamber, in ticks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Poured {
    /// Mean of its pours.
    pub value: f64,
    /// Standard uncertainty of the mean.
    pub u: f64,
    /// Degrees of freedom of `u`, pooled over all chambers.
    pub dof: Dof,
}

/// What the pours of a job say about themselves. Volumes are ticks of 1e-6 cc.
#[derive(Clone, Debug)]
pub struct PoursReport {
    /// Pours in the file.
    pub readings: usize,
    /// Pours that the estimate uses.
    pub used: usize,
    /// How well a pour repeats.
    pub repeatability: Repeatability,
    /// Smallest step of the burette.
    pub resolution: f64,
    /// The step was taken from the typed decimals, not stated by the job.
    pub resolution_from_decimals: bool,
    /// What to look at again, the gravest first. A part in a finding is the chamber that
    /// [`ChamberReduction::chamber_of`] names; its only position means nothing.
    pub findings: Vec<Finding>,
}

/// A chamber of a head, both counted from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ChamberOf {
    /// Index into the head stock.
    pub head: usize,
    /// The chamber, from the end that is the front when the head sits as measured.
    pub chamber: usize,
}

impl ChamberReduction {
    /// Reduces the job's pours; `None` where it has none.
    ///
    /// # Errors
    /// [`ReduceError::UnknownPart`] for a pour of a head that is not in the stock, or of a chamber beyond
    /// the 64th; [`ReduceError::IllConditioned`] when numbers of repeats differ beyond what floats can solve.
    pub fn new(job: &Job) -> Result<Option<Self>, ReduceError> {
        Self::without(job, &[])
    }

    /// The same with the lines in `excluded` left out as if the user had done so.
    ///
    /// # Errors
    /// As [`ChamberReduction::new`].
    pub fn without(job: &Job, excluded: &[u32]) -> Result<Option<Self>, ReduceError> {
        let Some(pours) = job.chambers.as_ref() else { return Ok(None) };
        let heads = job.stock("head").map_or(0, |heads| heads.parts.len());
        let most = pours.rows.iter().map(|row| row.chamber.saturating_add(1)).max().unwrap_or(0);
        let chambers_a_head = most.min(MOST);
        let readings = observations(pours, heads, chambers_a_head, excluded);
        let (gauge, from_decimals) = burette(pours);
        let effects = reduce(heads * chambers_a_head, 1, &readings, &gauge, &[])?;
        let report = PoursReport {
            readings: readings.len(),
            used: readings.iter().filter(|reading| !reading.left_out).count(),
            repeatability: *effects.repeatability(),
            resolution: gauge.resolution.unwrap_or(0.0),
            resolution_from_decimals: from_decimals,
            findings: effects.findings().to_vec(),
        };
        let volumes = (0..heads * chambers_a_head).map(|part| poured(&effects, part)).collect();
        Ok(Some(Self { chambers_a_head, volumes, report }))
    }

    /// The volume of a chamber; `None` where it was not poured.
    #[must_use]
    pub fn chamber(&self, head: usize, chamber: usize) -> Option<Poured> {
        let known = chamber < self.chambers_a_head;
        known.then(|| self.volumes.get(head * self.chambers_a_head + chamber).copied().flatten()).flatten()
    }

    /// One more than the highest chamber poured of any head.
    #[must_use]
    pub fn chambers_a_head(&self) -> usize {
        self.chambers_a_head
    }

    /// The chamber that a part in a finding stands for.
    #[must_use]
    pub fn chamber_of(&self, part: PartId) -> ChamberOf {
        let each = self.chambers_a_head.max(1);
        ChamberOf { head: part.index() / each, chamber: part.index() % each }
    }

    /// What the pours say about themselves.
    #[must_use]
    pub fn report(&self) -> &PoursReport {
        &self.report
    }

    /// What the pours say about themselves, given away.
    #[must_use]
    pub fn into_report(self) -> PoursReport {
        self.report
    }
}

/// A pour of a head or chamber that cannot be is of a part that is none, which the reduction refuses.
fn observations(pours: &ChamberReadings, heads: usize, chambers_a_head: usize, excluded: &[u32]) -> Vec<Reading> {
    let part = |row: &ChamberReading| {
        let known = row.head < heads && row.chamber < chambers_a_head;
        part_id(if known { row.head * chambers_a_head + row.chamber } else { usize::MAX })
    };
    let reading = |row: &ChamberReading| Reading {
        part: part(row),
        position: position_id(0),
        value: row.value.ticks() as f64,
        spot: None,
        left_out: row.leave_out || excluded.contains(&row.line),
        line: row.line,
    };
    pours.rows.iter().map(reading).collect()
}

/// What is known of the burette, and whether its step was only taken from the typed decimals.
fn burette(pours: &ChamberReadings) -> (Gauge, bool) {
    let typed = pours.rows.iter().map(|row| row.value.typed_step()).reduce(f64::min);
    let stated = pours.resolution.map(|resolution| resolution.ticks() as f64);
    let repeatability = pours.repeatability.map(|repeatability| repeatability.ticks() as f64);
    (Gauge { resolution: stated.or(typed), repeatability }, stated.is_none())
}

fn poured(effects: &Effects, part: usize) -> Option<Poured> {
    let prediction = effects.predict(part_id(part), position_id(0))?;
    Some(Poured { value: prediction.value, u: prediction.u, dof: prediction.dof })
}
