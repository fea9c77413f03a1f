//! Which pairs may be chosen, and what excludes the others.

use super::frame::Frame;
use super::question::Question;
use crate::fit::Seat;
use crate::job::FitName;
use crate::limit::Limit;
use crate::plan::LimitKind;
use crate::reduction::Pair;

/// What excludes a pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Bar {
    /// The stock's `fits`, or an earlier match has the part.
    Fits,
    /// `keep` or `bar`.
    Pinned,
    /// The value cannot be predicted.
    Untied,
    /// The limit with this index.
    Limit(usize),
}

/// A what-if on the limits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Relaxed {
    /// Take every value at face value.
    pub(crate) unguarded: bool,
    /// Guard a limit on a spread with the narrowest band of any two placements instead of the widest.
    pub(crate) by_narrowest: bool,
    /// Move the bound of the limit with this index outward by so many ticks.
    pub(crate) moved: Option<(usize, i64)>,
    /// Spend as much as it takes.
    pub(crate) unpaid: bool,
}

impl Relaxed {
    /// How far the bound of a limit is moved outward, in ticks.
    pub(crate) fn outward(self, limit: usize) -> i64 {
        self.moved.filter(|(moved, _)| *moved == limit).map_or(0, |(_, ticks)| ticks)
    }
}

impl Frame<'_> {
    /// The value of the aim's fit, in ticks, if the pair may be chosen.
    pub(crate) fn admitted(&self, pair: Pair, relaxed: Relaxed) -> Option<i64> {
        if !self.may_go(pair) || self.pinned_out(pair) {
            return None;
        }
        self.question.admitted(self.seat(pair), relaxed)
    }

    /// Everything that excludes the pair.
    pub(crate) fn bars(&self, pair: Pair, relaxed: Relaxed) -> Vec<Bar> {
        let mut bars = Vec::new();
        if !self.may_go(pair) {
            bars.push(Bar::Fits);
        }
        if self.pinned_out(pair) {
            bars.push(Bar::Pinned);
        }
        bars.extend(self.bars_by_value(pair, relaxed));
        bars
    }

    /// By how many ticks the pair misses the limit with this index; 0 where it holds or the fit
    /// is unknown.
    pub(crate) fn shortfall(&self, limit: usize, pair: Pair, unguarded: bool) -> i64 {
        self.question.shortfall(limit, self.seat(pair), unguarded)
    }

    fn bars_by_value(&self, pair: Pair, relaxed: Relaxed) -> impl Iterator<Item = Bar> {
        self.question.bars_by_value(self.seat(pair), relaxed)
    }
}

impl Question<'_> {
    /// The value of the aim's fit, in ticks, if every fit is known and every limit on a single position holds.
    pub(crate) fn admitted(&self, seat: Seat, relaxed: Relaxed) -> Option<i64> {
        let value = self.aim_fit().value(seat)?;
        let free = self.limits.is_empty() || self.bars_by_value(seat, relaxed).next().is_none();
        free.then_some(value)
    }

    pub(super) fn shortfall(&self, limit: usize, seat: Seat, unguarded: bool) -> i64 {
        let limit = &self.limits[limit];
        let short = || {
            limit.bound(self.positions.within(seat.position))?;
            let fit = self.fit(limit.fit)?;
            let value = fit.value(seat)?;
            let doubt = if limit.guard && !unguarded { Some(fit.doubt(seat)?) } else { None };
            Some(limit.shortfall(self.positions.within(seat.position), value, doubt, &self.guard))
        };
        short().unwrap_or(0)
    }

    /// Whether a limit is on a fit that cannot be predicted at a seat.
    fn unknown(&self, limit: &Limit, seat: Seat) -> bool {
        // An entry of the ledger says nothing of any position but its own.
        let is_elsewhere =
            matches!(limit.fit, FitName::Entry(_)) && limit.bound(self.positions.within(seat.position)).is_none();
        !is_elsewhere && self.fit(limit.fit).is_some_and(|fit| fit.is_about(seat) && fit.value(seat).is_none())
    }

    fn bars_by_value(&self, seat: Seat, relaxed: Relaxed) -> impl Iterator<Item = Bar> {
        let untied = self.aim_fit().value(seat).is_none() || self.limits.iter().any(|limit| self.unknown(limit, seat));
        let broken = self.limits.iter().enumerate().filter(move |(index, limit)| {
            matches!(limit.kind, LimitKind::Side(_))
                && self.shortfall(*index, seat, relaxed.unguarded) > relaxed.outward(*index)
        });
        untied.then_some(Bar::Untied).into_iter().chain(broken.map(|(index, _)| Bar::Limit(index)))
    }
}
