//! Why this plan: every statement is computed from a re-solve, a draw or a count.

mod as_found;
mod ends;
mod flagged;
mod forced;
mod others;
mod price;
mod report;
mod runner_up;
mod steps;

pub use report::{
    Alternative, AsFound, Explanation, FlaggedOut, ForcedIn, Gain, Immovable, OtherPlan, Price, RunnerUp, SpreadEnds,
    Step,
};

use crate::plan::{Chosen, Plan, PlanError, Question, Tables};

/// What every part of an explanation looks at.
pub(crate) struct Scene<'a, 'j> {
    pub(crate) question: &'a Question<'j>,
    pub(crate) tables: &'a Tables,
    pub(crate) chosen: &'a Chosen,
    pub(crate) plan: &'a Plan,
}

/// Explains a plan.
///
/// # Errors
/// [`PlanError`] from the re-solves.
pub(crate) fn explain(
    question: &Question<'_>,
    tables: &Tables,
    chosen: &Chosen,
    plan: &Plan,
) -> Result<Explanation, PlanError> {
    let scene = Scene { question, tables, chosen, plan };
    Ok(Explanation {
        as_found: as_found::as_found(&scene),
        ends: ends::ends(&scene)?,
        runners_up: runner_up::runners_up(&scene)?,
        forced_in: forced::forced_in(&scene)?,
        unread: forced::unread(&scene),
        others: others::others(&scene)?,
        flagged_out: flagged::flagged_out(&scene)?,
        steps: steps::steps(&scene),
    })
}
