//! Which limits apply to a match.

use super::Limit;
use crate::job::{Bounding, LimitAsked, Matching, Positions};
use crate::plan::LimitKind;
use crate::quantity::Amount;

/// Every limit of a match: its own `limits`, then the `min_…` and `max_…` columns of the positions.
///
/// A column is guarded unless the match says `guard = false` for its fit.
#[must_use]
pub fn gather(matching: &Matching, positions: &Positions) -> Vec<Limit> {
    let mut limits = Vec::new();
    for asked in &matching.limits {
        limits.extend(everywhere(asked, positions.len()));
    }
    for column in &positions.limits {
        let guard = matching.limits.iter().find(|asked| asked.fit == column.fit).is_none_or(|asked| asked.guard);
        limits.push(Limit {
            fit: column.fit,
            kind: LimitKind::Side(column.side),
            bounds: column.values.iter().map(|value| value.map(Amount::ticks)).collect(),
            by_position: true,
            guard,
        });
    }
    limits
}

fn everywhere(asked: &LimitAsked, positions: usize) -> Vec<Limit> {
    let limit = |kind, bound: Option<Amount>, places| {
        bound.map(|bound| Limit {
            fit: asked.fit,
            kind,
            bounds: vec![Some(bound.ticks()); places],
            by_position: false,
            guard: asked.guard,
        })
    };
    [
        limit(LimitKind::Side(Bounding::Min), asked.min, positions),
        limit(LimitKind::Side(Bounding::Max), asked.max, positions),
        limit(LimitKind::Spread, asked.spread, 1),
        limit(LimitKind::Neighbours, asked.neighbours, 1),
    ]
    .into_iter()
    .flatten()
    .collect()
}
