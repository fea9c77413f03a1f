//! Why this plan: every statement is computed from a re-solve, a draw or a count.

mod as_found;
mod contributions;
mod ends;
mod flagged;
mod forced;
mod little_more;
mod others;
mod price;
mod report;
mod runner_up;
mod settings;
mod steps;

pub use report::{
    Alternative, AsFound, Contribution, Explanation, Flagged, FlaggedOut, ForcedIn, Gain, Immovable, LittleMore, Lost,
    More, OtherPlan, OtherSetting, Price, RoleSteps, RunnerUp, SpreadEnds, Step,
};

use crate::plan::{Chosen, Frame, Layout, Plan, PlanError, Question, Search, Tables};

/// What every part of an explanation looks at.
pub(crate) struct Scene<'a, 'q> {
    pub(crate) search: &'a Search<'q>,
    /// The setting that was chosen, with its tables.
    pub(crate) layout: &'a Layout<'q>,
    pub(crate) chosen: &'a Chosen,
    pub(crate) plan: &'a Plan,
}

impl<'q> Scene<'_, 'q> {
    fn question(&self) -> &'q Question<'q> {
        self.search.question
    }

    fn frame(&self) -> &Frame<'q> {
        &self.layout.frame
    }

    fn tables(&self) -> &Tables {
        &self.layout.tables
    }
}

/// Explains a plan.
///
/// # Errors
/// [`PlanError`] from the re-solves.
pub(crate) fn explain(scene: &Scene<'_, '_>) -> Result<Explanation, PlanError> {
    Ok(Explanation {
        as_found: as_found::as_found(scene),
        ends: ends::ends(scene)?,
        runners_up: runner_up::runners_up(scene)?,
        forced_in: forced::forced_in(scene)?,
        unread: forced::unread(scene),
        others: others::others(scene)?,
        settings: settings::settings(scene)?,
        contributions: contributions::contributions(scene),
        little_more: little_more::little_more(scene),
        flagged_out: flagged::flagged_out(scene)?,
        steps: steps::steps(scene),
        other_steps: steps::of_other_roles(scene),
    })
}
