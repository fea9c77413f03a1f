//! A comparison of what-ifs as it is shown: which rows, in which order, and one figure for each column.

use pairwright_engine::job::{FitName, Job};
use pairwright_engine::plan::{LimitReport, LimitState, Plan};
use pairwright_engine::what_if::{Comparison, Judged, Row, RowOutcome, RowPlan};

use super::view::View;

/// The order of the rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum Order {
    /// As the job file has them
    Job,
    /// Best first by what the match wants
    Aim,
    /// Cheapest first
    Price,
    /// Quickest first
    Hours,
}

/// A comparison to show.
#[derive(Clone, Copy, Debug)]
pub struct CompareView<'a> {
    /// The job as it stands.
    pub job: &'a Job,
    /// What came of it.
    pub comparison: &'a Comparison,
    /// The order of the what-ifs.
    pub order: Order,
    /// Whether the text says how much room every clearance leaves.
    pub headroom: bool,
}

impl<'a> CompareView<'a> {
    /// The match as it stands.
    pub(super) fn view(self) -> Option<View<'a>> {
        View::of(self.job, self.comparison.matching)
    }

    /// The match with the changes of a row.
    pub(super) fn view_of(self, row: &'a Row) -> Option<View<'a>> {
        View::of(&row.job, self.comparison.matching)
    }

    /// The job as it stands, then the what-ifs in order; those without a plan come last where plans are ranked.
    pub(super) fn rows(self) -> Vec<&'a Row> {
        let mut rows: Vec<&Row> = self.comparison.rows.iter().collect();
        let cost = |row: &Row| match (self.order, &row.outcome) {
            (Order::Job, _) => 0.0,
            (Order::Price, _) => row.money().unwrap_or(0) as f64,
            (Order::Hours, _) => row.hours.unwrap_or(0) as f64,
            (Order::Aim, RowOutcome::Planned(planned)) => planned.judged.as_ref().map_or(f64::INFINITY, Judged::cost),
            (Order::Aim, _) => f64::INFINITY,
        };
        rows.sort_by(|one, other| cost(one).total_cmp(&cost(other)));
        std::iter::once(&self.comparison.stands).chain(rows).collect()
    }

    /// The name of a row.
    pub(super) fn name(self, row: &Row) -> &'a str {
        row.what_if.and_then(|at| self.job.what_ifs.get(at)).map_or("as it stands", |what_if| &what_if.name)
    }
}

/// The plan of a row.
pub(super) fn planned(row: &Row) -> Option<&RowPlan> {
    match &row.outcome {
        RowOutcome::Planned(planned) => Some(planned),
        _ => None,
    }
}

/// The limit that is nearest to being broken, measured in guard bands: the least margin for its band, and where nothing
/// is uncertain the least margin.
pub(super) fn tightest(plan: &Plan) -> Option<&LimitReport> {
    let rank = |limit: &LimitReport| {
        let state = match limit.state {
            LimitState::Broken => 0_u8,
            LimitState::Nominal => 1,
            LimitState::Held => 2,
        };
        let room = if limit.band > 0.0 { limit.margin as f64 / limit.band } else { f64::INFINITY };
        (state, room, limit.margin)
    };
    plan.limits.iter().min_by(|one, other| {
        let (one, other) = (rank(one), rank(other));
        one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)).then(one.2.cmp(&other.2))
    })
}

/// The limits that a plan does not hold.
pub(super) fn broken(plan: &Plan) -> impl Iterator<Item = &LimitReport> {
    plan.limits.iter().filter(|limit| limit.state != LimitState::Held)
}

/// The mean of a fit over the placements, in ticks.
pub(super) fn mean(plan: &Plan, fit: FitName) -> Option<f64> {
    let value = |placement: &pairwright_engine::plan::Placement| {
        placement.fits.iter().find(|value| value.fit == fit).map(|value| value.estimate.value as f64)
    };
    let values: Vec<f64> = plan.placements.iter().map(value).collect::<Option<_>>()?;
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// The fit whose mean is shown: compression where it is predicted everywhere, else the aim's.
pub(super) fn mean_fit(comparison: &Comparison, aim: FitName) -> FitName {
    let plans = || {
        let rows = std::iter::once(&comparison.stands).chain(&comparison.rows).filter_map(planned);
        rows.map(|planned| &planned.plan)
    };
    let all = plans().next().is_some() && plans().all(|plan| mean(plan, FitName::Compression).is_some());
    if all { FitName::Compression } else { aim }
}
