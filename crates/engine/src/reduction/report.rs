//! What the readings say about themselves.

use crate::readings::{Effects, Finding, PartId, Reading, Repeatability, Untied};

/// What the readings of a job say about themselves. Values are nm, positive above the deck and on
/// the rod that the piston was first read on; parts and positions are those of the piston stock and the cylinders.
#[derive(Clone, Debug)]
pub struct ReadingsReport {
    /// Readings in the file.
    pub readings: usize,
    /// Readings that the estimate uses.
    pub used: usize,
    /// How well a reading repeats.
    pub repeatability: Repeatability,
    /// Smallest step of the gauge, in nm.
    pub resolution: f64,
    /// The step was taken from the typed decimals, not stated by the job.
    pub resolution_from_decimals: bool,
    /// What to look at again, the gravest first.
    pub findings: Vec<Finding>,
    /// What cannot be predicted and the cheapest readings that would change that; `None` where
    /// everything can.
    pub untied: Option<Untied>,
}

impl ReadingsReport {
    /// Describes reduced readings; `resolution` is the gauge's step and whether it was taken from
    /// the typed decimals. A part that is `idle` (never placed) need not be tied to anything.
    pub(super) fn new(
        effects: &Effects,
        readings: &[Reading],
        resolution: (f64, bool),
        idle: impl Fn(PartId) -> bool,
    ) -> Self {
        Self {
            readings: readings.len(),
            used: readings.iter().filter(|reading| !reading.left_out).count(),
            repeatability: *effects.repeatability(),
            resolution: resolution.0,
            resolution_from_decimals: resolution.1,
            findings: effects.findings().to_vec(),
            untied: untied(effects.untied(), idle),
        }
    }
}

/// What is apart, idle parts set aside.
fn untied(found: &Untied, idle: impl Fn(PartId) -> bool) -> Option<Untied> {
    let mut untied = found.clone();
    untied.parts.retain(|&part| !idle(part));
    untied.ties.retain(|tie| !(idle(tie.part) && found.parts.contains(&tie.part)));
    (!untied.ties.is_empty()).then_some(untied)
}
