//! Limits on two positions at once, for parts chosen jointly: the spread of a fit, and neighbours.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

use super::admission::Relaxed;
use super::question::Question;
use super::setting::Setting;
use super::spread_band::band_between_seats;
use crate::fit::{Budget, Doubt, Fit, Seat};
use crate::plan::LimitKind;

/// One such limit, with what it takes to judge two positions quickly.
#[derive(Debug)]
pub(super) struct Apart<'q> {
    question: &'q Question<'q>,
    fit: &'q dyn Fit,
    /// Greatest difference, in ticks.
    most: i64,
    /// The guard band counts.
    guarded: bool,
    /// Only neighbours are compared; else every two positions.
    next_to: Option<Vec<(usize, usize)>>,
    /// For every way to dress a bank and every position what the fit gives, firsts × seconds.
    known: Vec<Vec<Option<Known>>>,
    /// Guard bands of differences that were worked out before.
    bands: Mutex<HashMap<(At, At), f64>>,
}

/// What a fit gives somewhere, how well it is known, and the factor of its guard band.
#[derive(Clone, Copy, Debug)]
struct Known {
    value: i64,
    u: f64,
    factor: f64,
    /// The variance that no other position with other parts has a share in, and whether there is any other.
    own: f64,
    is_shared: bool,
}

/// How far apart two positions may be.
#[derive(Clone, Copy, Debug)]
pub(super) struct Width {
    /// No two positions hold the limit that lie further apart than this.
    pub(super) ticks: i64,
    /// Every two positions hold the limit that lie no further apart than this.
    pub(super) is_exact: bool,
}

/// What rounding may do to a guard band, in ticks.
const ROUNDING: f64 = 1e-6;

/// A cell and a place in it.
type At = (usize, usize);

impl<'q> Apart<'q> {
    /// The limits of a question on two positions at once.
    pub(super) fn all(question: &'q Question<'q>, relaxed: Relaxed) -> Vec<Self> {
        let limits = question.limits.iter().enumerate();
        limits
            .filter_map(|(index, limit)| {
                let next_to = match limit.kind {
                    LimitKind::Side(_) => return None,
                    LimitKind::Spread => None,
                    LimitKind::Neighbours => Some(question.neighbours()),
                };
                Some(Self {
                    question,
                    fit: question.fit(limit.fit)?,
                    most: limit.bound(0)? + relaxed.outward(index),
                    guarded: limit.guard && !relaxed.unguarded,
                    next_to,
                    known: Vec::new(),
                    bands: Mutex::default(),
                })
            })
            .collect()
    }

    /// Takes in what the fit gives at one position, firsts × seconds.
    pub(super) fn learn(&mut self, seats: impl Iterator<Item = Option<Seat>>) {
        let known = |seat: Seat| {
            let value = self.fit.value(seat)?;
            let Doubt { u, dof, .. } = if self.guarded { self.fit.doubt(seat)? } else { Doubt::NONE };
            let errors = self.guarded.then(|| self.fit.errors(seat)).flatten();
            let own = errors.as_ref().map_or(0.0, Budget::own_variance);
            let is_shared = self.guarded && errors.is_none_or(|errors| errors.is_shared());
            Some(Known { value, u, factor: self.question.guard.at(dof), own, is_shared })
        };
        self.known.push(seats.map(|seat| seat.and_then(known)).collect());
    }

    /// How far apart any two positions may be; nothing for a limit on neighbours.
    ///
    /// The variance of a difference is at least that of what the two do not share.
    pub(super) fn width(&self) -> Option<Width> {
        if self.next_to.is_some() {
            return None;
        }
        let known = || self.known.iter().flatten().flatten();
        let band = |factor: f64, own: f64| factor * (2.0 * own).sqrt();
        let least = |of: fn(&Known) -> f64| known().map(of).fold(f64::INFINITY, f64::min);
        let most = |of: fn(&Known) -> f64| known().map(of).fold(0.0, f64::max);
        let narrowest = if known().next().is_some() { band(least(|at| at.factor), least(|at| at.own)) } else { 0.0 };
        let widest = band(most(|at| at.factor), most(|at| at.own));
        let ticks = self.most.saturating_sub(whole_ticks_below(narrowest));
        let has_room = (self.most - ticks) as f64 >= widest + ROUNDING || widest == 0.0;
        Some(Width { ticks, is_exact: has_room && !known().any(|at| at.is_shared) })
    }

    /// The values of every way to dress a bank and position, in order.
    pub(super) fn values(&self) -> impl Iterator<Item = impl Iterator<Item = i64> + '_> {
        self.known.iter().map(|cell| cell.iter().flatten().map(|known| known.value))
    }

    /// What the fit gives in a cell.
    pub(super) fn value(&self, cell: usize, at: usize) -> Option<i64> {
        Some(self.known.get(cell)?.get(at).copied()??.value)
    }

    /// Whether two positions so filled are near enough to each other: each is the number of its way and position,
    /// and of its two parts.
    pub(super) fn holds(&self, one: Place<'_>, other: Place<'_>) -> bool {
        let pair = (one.position.min(other.position), one.position.max(other.position));
        let is_pair = |&(a, b): &(usize, usize)| (a.min(b), a.max(b)) == pair;
        if self.next_to.as_ref().is_some_and(|next_to| !next_to.iter().any(is_pair)) {
            return true;
        }
        let (Some(a), Some(b)) = (self.at(one), self.at(other)) else { return false };
        let room = self.most - (a.value - b.value).abs();
        if room < 0 || !self.guarded {
            return room >= 0;
        }
        // The band is the larger factor times √(u² + v² − 2·cov), which lies between |u − v| and u + v.
        let factor = a.factor.max(b.factor);
        let room = room as f64;
        if room >= factor * (a.u + b.u) {
            return true;
        }
        room >= factor * (a.u - b.u).abs() && room >= self.band(one, other)
    }

    /// The guard band of the difference of two positions so filled.
    fn band(&self, one: Place<'_>, other: Place<'_>) -> f64 {
        let key = ((one.cell, one.at), (other.cell, other.at));
        let key = (key.0.min(key.1), key.0.max(key.1));
        let mut bands = self.bands.lock().unwrap_or_else(PoisonError::into_inner);
        *bands.entry(key).or_insert_with(|| {
            let seat = |place: Place<'_>| {
                let seat = self.question.seat(place.position, place.setting, Some(place.second));
                seat.with(self.question.first_role(), place.first)
            };
            band_between_seats(self.fit, [seat(one), seat(other)], &self.question.guard)
        })
    }

    fn at(&self, place: Place<'_>) -> Option<Known> {
        self.known.get(place.cell)?.get(place.at).copied()?
    }
}

/// A position with its two parts.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place<'s> {
    pub(super) position: usize,
    pub(super) setting: &'s Setting,
    pub(super) first: usize,
    pub(super) second: usize,
    /// Number of its way to be dressed and its position.
    pub(super) cell: usize,
    /// Number of the two parts in it.
    pub(super) at: usize,
}

/// The ticks that a guard band takes off whole ticks: the least whole number not below it, less what rounding may do.
#[expect(clippy::cast_possible_truncation, reason = "bands are below a metre: far inside i64")]
fn whole_ticks_below(band: f64) -> i64 {
    (band - ROUNDING).ceil().max(0.0) as i64
}
