//! Squaring a deck: what comes off at every cylinder, so that no slope is left.

use super::NotApplied;
use crate::job::{CYLINDER, Job};
use crate::reduction::Reductions;

/// For every cylinder of a bank what the cut takes off there, in ticks: the straight line that fits the bank's decks best
/// (least squares) is brought level with its lowest point, where nothing is taken off. What a deck departs from its line
/// stays.
///
/// A deck's place is the effect of its cylinder on the readings, or without readings its measured height; cylinders
/// stand where their column `along` says, else at even distances.
pub(super) fn cuts(job: &Job, reductions: &Reductions, bank: usize) -> Result<Vec<(usize, i64)>, NotApplied> {
    let no_slope = || NotApplied::NoSlope { bank };
    let cylinders = job.positions(CYLINDER).ok_or_else(no_slope)?;
    let members = &job.banks.get(bank).ok_or_else(no_slope)?.cylinders;
    let along = |step: usize, position: usize| {
        cylinders.columns.value("along", position).map_or(step as f64, |along| along.ticks() as f64)
    };
    let stations: Vec<(usize, f64)> = (0..).zip(members).map(|(step, &at)| (at, along(step, at))).collect();
    let height = |position| cylinders.columns.value("deck_height", position).or(job.engine.deck_height);
    let low = |position: usize| match &reductions.deck {
        Some(read) => read.cylinder(position),
        None => height(position).map(|height| (-height.ticks(), 0)),
    };
    let known: Vec<(f64, (i64, usize))> =
        stations.iter().filter_map(|&(position, x)| Some((x, low(position)?))).collect();
    let tied = known.windows(2).all(|two| two[0].1.1 == two[1].1.1);
    if !tied || known.len() < 2 {
        return Err(no_slope());
    }
    let slope = slope(known.iter().map(|&(x, (low, _))| (x, low as f64))).ok_or_else(no_slope)?;
    let lowest = stations.iter().map(|&(_, x)| slope * x).fold(f64::NEG_INFINITY, f64::max);
    let cut = |&(position, x): &(usize, f64)| (position, whole(lowest - slope * x));
    Ok(stations.iter().map(cut).collect())
}

/// The slope of the straight line through `points` by least squares; `None` where they stand in one place.
fn slope(points: impl Iterator<Item = (f64, f64)> + Clone) -> Option<f64> {
    let n = points.clone().count() as f64;
    let mean = |of: fn((f64, f64)) -> f64| points.clone().map(of).sum::<f64>() / n;
    let (x, y) = (mean(|point| point.0), mean(|point| point.1));
    let (across, wide) =
        points.fold((0.0, 0.0), |(sum, wide), (px, py)| (sum + (px - x) * (py - y), wide + (px - x) * (px - x)));
    (wide > 0.0).then(|| across / wide)
}

#[expect(clippy::cast_possible_truncation, reason = "decks slope by less than a metre: far inside i64")]
fn whole(ticks: f64) -> i64 {
    ticks.round_ties_even() as i64
}
