//! The job's readings as the statistics take them.

use super::rods::Rods;
use crate::job::{DeckReading, DeckReadings, Job, Positive};
use crate::readings::{Deck, Gauge, PartId, PositionId, Reading, Station};

/// The readings in nm, positive above the deck, those of one piston all on one rod; lines in `excluded`
/// are left out as if the user had done so.
pub(super) fn observations(job: &Job, deck: &DeckReadings, rods: &Rods, excluded: &[u32]) -> Vec<Reading> {
    let sign = match deck.positive {
        Positive::Above => 1.0,
        Positive::Below => -1.0,
    };
    deck.rows
        .iter()
        .map(|row| Reading {
            part: part_id(row.part),
            position: position_id(row.position),
            value: sign * row.value.ticks() as f64 - rods.longer(job, row),
            spot: row.spot,
            left_out: left_out(row, excluded),
            line: row.line,
        })
        .collect()
}

/// Whether a reading takes no part in the estimate.
pub(super) fn left_out(row: &DeckReading, excluded: &[u32]) -> bool {
    row.leave_out || excluded.contains(&row.line)
}

/// What is known of the gauge, and whether its step was only taken from the typed decimals.
pub(super) fn gauge(deck: &DeckReadings) -> (Gauge, bool) {
    let typed = deck.rows.iter().map(|row| row.value.typed_step()).reduce(f64::min);
    let stated = deck.resolution.map(|resolution| resolution.ticks() as f64);
    let repeatability = deck.repeatability.map(|repeatability| repeatability.ticks() as f64);
    (Gauge { resolution: stated.or(typed), repeatability }, stated.is_none())
}

/// The decks of the banks: along them by the `along` column, else one step a cylinder.
pub(super) fn decks(job: &Job) -> Vec<Deck> {
    let Some(cylinders) = job.positions("cylinder") else { return Vec::new() };
    let along = |(step, &position): (usize, &usize)| Station {
        position: position_id(position),
        along: cylinders.columns.value("along", position).map_or(step as f64, |along| along.ticks() as f64),
    };
    job.banks
        .iter()
        .map(|bank| Deck {
            stations: bank.cylinders.iter().enumerate().map(along).collect(),
            straight: bank.straight,
            form: bank.form.map(|form| form.ticks() as f64),
        })
        .collect()
}

pub(super) fn part_id(index: usize) -> PartId {
    PartId::new(u32::try_from(index).unwrap_or(u32::MAX))
}

pub(super) fn position_id(index: usize) -> PositionId {
    PositionId::new(u32::try_from(index).unwrap_or(u32::MAX))
}
