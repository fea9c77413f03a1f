//! One number for how well a plan does what a match wants.

use super::{Gained, Judged};
use crate::job::{Aim, Goal, Measured};
use crate::plan::{Plan, root_mean_square, scatter, spread};

/// The measure of `aim` on the values that `plan` gives its fit; `None` where a position has no value.
pub(super) fn judge(aim: &Aim, plan: &Plan) -> Option<Judged> {
    let value = |placement: &crate::plan::Placement| {
        placement.fits.iter().find(|value| value.fit == aim.fit).map(|value| value.estimate.value)
    };
    let values: Vec<i64> = plan.placements.iter().map(value).collect::<Option<_>>()?;
    let least = || values.iter().min().copied().unwrap_or(0) as f64;
    let greatest = || values.iter().max().copied().unwrap_or(0) as f64;
    let value = match (aim.by, aim.goal) {
        (Measured::Spread, _) => spread(&values) as f64,
        (Measured::Worst, Goal::Near(target)) => {
            values.iter().map(|value| (value - target.ticks()).abs()).max().unwrap_or(0) as f64
        }
        (Measured::Squares, Goal::Near(target)) => root_mean_square(&values, target.ticks()),
        (Measured::Worst | Measured::Squares, _) => scatter(&values),
        (Measured::Total, _) => values.iter().sum::<i64>() as f64,
        (Measured::Extreme, Goal::Highest) => least(),
        (Measured::Extreme, _) => greatest(),
    };
    Some(Judged { fit: aim.fit, goal: aim.goal, by: aim.by, value })
}

/// What one plan gains on another by their measures.
pub(super) fn gained(stands: (&Judged, &Plan), now: (&Judged, &Plan)) -> Gained {
    let by = stands.0.cost() - now.0.cost();
    let doubt = stands.1.summary.expected_spread.doubt().max(now.1.summary.expected_spread.doubt());
    Gained { by, below_doubt: by.abs() < doubt }
}
