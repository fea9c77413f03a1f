//! How far the values of one position are from the limits there, as the engine's limits say.

use pairwright_engine::fit::Doubt;
use pairwright_engine::job::FitName;
use pairwright_engine::limit::{Factor, Limit, gather};
use pairwright_engine::plan::{LimitKind, Placement};
use pairwright_engine::statistics::{Dof, Risk};

use super::view::View;

/// The limits of one match.
#[derive(Debug)]
pub(crate) struct Limits {
    limits: Vec<Limit>,
    guard: Factor,
}

/// The limit that leaves a position least once its guard band is taken off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Tightest {
    pub(crate) fit: FitName,
    pub(crate) kind: LimitKind,
    /// From the predicted value to the bound, in ticks; negative beyond it.
    pub(crate) margin: i64,
}

impl Limits {
    pub(crate) fn of(view: View<'_>) -> Self {
        let limits = view.positions().map(|positions| gather(view.matching, positions)).unwrap_or_default();
        Self { limits, guard: Factor::new(Risk::new(view.job.risk).unwrap_or(Risk::ONE_IN_40)) }
    }

    /// The least margin of `fit` at a position, in ticks; `None` where nothing limits it there.
    pub(crate) fn margin(&self, fit: FitName, position: usize, value: i64) -> Option<i64> {
        let own = self.limits.iter().filter(|limit| limit.fit == fit);
        own.filter_map(|limit| limit.margin(position, value)).min()
    }

    /// The tightest limit of a placement; `None` where nothing limits it.
    pub(crate) fn tightest(&self, placement: &Placement) -> Option<Tightest> {
        let room = |limit: &Limit| {
            let estimate = placement.fits.iter().find(|value| value.fit == limit.fit)?.estimate;
            let margin = limit.margin(placement.position, estimate.value)?;
            let dof = Dof::new(estimate.dof).unwrap_or(Dof::INFINITE);
            let band = limit.band(Doubt { u: estimate.u, dof, from_line: estimate.from_line }, &self.guard);
            Some((margin as f64 - band, Tightest { fit: limit.fit, kind: limit.kind, margin }))
        };
        let least = self.limits.iter().filter_map(room).min_by(|a, b| a.0.total_cmp(&b.0));
        least.map(|(_, tightest)| tightest)
    }
}
