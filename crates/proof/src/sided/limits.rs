//! The limits that a tree speaks of.

use super::Held;
use crate::sides::Sides;
use crate::verify::{Flaw, score};
use crate::{Criterion, Measure, Sense, Slot, Statement, Table};

/// A limit on all values of a choice together.
pub(super) struct Limit<'a> {
    pub(super) name: Held,
    pub(super) table: &'a Table,
    kind: Kind,
    pub(super) most: i128,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Spread,
    AboutMean,
    /// Of values, or of their squares from a target; of a negative sign where the sum is to be large.
    Sum {
        target: Option<i64>,
        sense: Sense,
    },
}

impl<'a> Limit<'a> {
    /// The limits of windows and totals.
    pub(super) fn of_sides(statement: &Statement<'a>, sides: &Sides<'a>) -> Vec<Self> {
        let mut limits = Vec::new();
        for (at, window) in statement.windows.iter().enumerate() {
            let (name, most) = (Held::Window(at), i128::from(window.width));
            limits.push(Limit { name, table: window.table, kind: Kind::Spread, most });
        }
        for (at, total) in sides.totals.iter().enumerate() {
            let table = total.table;
            let kind = |sense| Kind::Sum { target: None, sense };
            limits.extend(total.most.map(|most| Limit { name: Held::Most(at), table, kind: kind(Sense::Least), most }));
            let least = total.least.map(i128::saturating_neg);
            limits.extend(least.map(|most| Limit { name: Held::Least(at), table, kind: kind(Sense::Most), most }));
        }
        limits
    }

    /// The limit of a level, unless pairs say it already, or nothing follows from it.
    pub(super) fn of_level(place: usize, criterion: &Criterion<'a>, most: i128) -> Option<Self> {
        let sense = criterion.sense;
        let kind = match (criterion.measure, sense) {
            (Measure::Spread, Sense::Least) => Kind::Spread,
            (Measure::SquaresAboutMean, Sense::Least) => Kind::AboutMean,
            (Measure::Total, _) => Kind::Sum { target: None, sense },
            (Measure::SquaresFrom { target }, _) => Kind::Sum { target: Some(target), sense },
            _ => return None,
        };
        Some(Self { name: Held::Level(place), table: criterion.table, kind, most })
    }

    /// What a value costs, if the limit is one on a sum.
    pub(super) fn cost(&self, value: i64) -> Option<Result<i128, Flaw>> {
        let Kind::Sum { target, sense } = self.kind else { return None };
        let value = i128::from(value);
        let cost = match target {
            None => Some(value),
            Some(target) => {
                let away = value - i128::from(target);
                away.checked_mul(away)
            }
        };
        Some(cost.map(|cost| score(sense, cost)).ok_or(Flaw::Overflow))
    }

    pub(super) fn is_sum(&self) -> bool {
        matches!(self.kind, Kind::Sum { .. })
    }

    pub(super) fn is_about_mean(&self) -> bool {
        self.kind == Kind::AboutMean
    }

    /// The widest spread that the limit leaves.
    ///
    /// The squares about the mean, n times, are the sum of (v − w)² over all pairs of values: the two ends are s apart, and
    /// each other value adds at least s²/2, so that n·s²/2 is no more than the limit.
    pub(super) fn width(&self, slots: usize) -> Option<i128> {
        match self.kind {
            Kind::Spread => Some(self.most),
            Kind::AboutMean if self.most < 0 => Some(-1),
            Kind::AboutMean => self.most.saturating_mul(2).checked_div(slots as i128).map(i128::isqrt),
            Kind::Sum { .. } => None,
        }
    }

    /// The value of a pair that every table holds.
    pub(super) fn value(&self, slot: Slot, item: crate::Item) -> i64 {
        self.table.row(slot)[item.index()]
    }
}
