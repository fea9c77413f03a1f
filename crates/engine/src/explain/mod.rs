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
mod selection;
mod settings;
mod steps;

pub use report::{
    Alternative, AsFound, AtMost, Contribution, Explanation, Flagged, FlaggedOut, ForcedIn, Gain, Immovable,
    LittleMore, Lost, More, OtherPlan, OtherSetting, Price, RoleSteps, RunnerUp, SpreadEnds, Step,
};
pub use selection::{Barred, Because, Contest, Edge, Rival, Selection};

use crate::job::Part;
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

    /// The parts of the first role's kind in a position, of every role that takes one.
    fn parts_at(&self, position: usize) -> Vec<usize> {
        let beside = self.question().beside().len();
        let others = self.chosen.seconds.iter().skip(position * beside).take(beside);
        self.chosen.parts.get(position).into_iter().chain(others).copied().collect()
    }

    /// All parts of the first role's kind that the plan uses, position after position.
    fn used(&self) -> Vec<usize> {
        (0..self.chosen.parts.len()).flat_map(|position| self.parts_at(position)).collect()
    }

    /// Whether a part is a piece of a type.
    fn is_type(&self, part: usize) -> bool {
        self.frame().stock().parts[part].is_type()
    }

    /// Whether there are types to choose from.
    fn has_types(&self) -> bool {
        self.frame().stock().parts.iter().any(Part::is_type)
    }

    /// Whether the plan has a piece of the same type in a position before that of this piece.
    fn comes_earlier(&self, part: usize) -> bool {
        let first = self.chosen.parts.iter().find(|&&other| self.frame().stock().is_alike(other, part));
        first.is_some_and(|&first| first != part)
    }
}

/// Explains a plan.
///
/// # Errors
/// [`PlanError`] from the re-solves.
pub(crate) fn explain(scene: &Scene<'_, '_>) -> Result<Explanation, PlanError> {
    let others = others::others(scene)?;
    Ok(Explanation {
        selection: selection::selection(scene, &others),
        as_found: as_found::as_found(scene),
        ends: ends::ends(scene)?,
        runners_up: runner_up::runners_up(scene)?,
        forced_in: forced::forced_in(scene)?,
        unread: forced::unread(scene),
        others,
        settings: settings::settings(scene)?,
        contributions: contributions::contributions(scene),
        little_more: little_more::little_more(scene),
        flagged_out: flagged::flagged_out(scene)?,
        steps: steps::steps(scene),
        other_steps: steps::of_other_roles(scene),
    })
}
