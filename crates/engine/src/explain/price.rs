//! What another plan costs against the plan.

use super::{Alternative, AtMost, Price, Scene};
use crate::job::{Goal, Measured};
use crate::plan::{
    Answer, Asked, Cheapest, Chosen, Frame, PlanError, aim_values, root_mean_square, scatter, spent, spread,
};
use crate::quantity::Amount;

impl Scene<'_, '_> {
    /// Whether a difference in spread is smaller than the readings' doubt about the spread.
    pub(super) fn doubts(&self, difference: i64) -> bool {
        (difference.abs() as f64) < self.plan.summary.expected_spread.doubt()
    }

    /// The answer to a changed question as an alternative to the plan.
    pub(super) fn answered(&self, asked: Asked<'_>) -> Result<Alternative, PlanError> {
        match self.search.best(asked)? {
            Answer::Chosen(chosen) => self.alternative(chosen),
            Answer::Short(_) => self.none(asked),
            Answer::Undecided => Ok(Alternative::Undecided),
        }
    }

    /// Why there is no answer to a changed question: plans cost too much, or there are none.
    pub(super) fn none(&self, asked: Asked<'_>) -> Result<Alternative, PlanError> {
        let Some(most) = self.question().matching.buying.spend.map(Amount::ticks) else {
            return Ok(Alternative::NoPlan);
        };
        Ok(match self.search.cheapest(asked)? {
            Cheapest::Costs(least) if least > most => Alternative::TooDear { least: Some(least) },
            Cheapest::Costs(_) | Cheapest::Nothing => Alternative::NoPlan,
            Cheapest::Unknown => Alternative::TooDear { least: None },
        })
    }

    /// What was chosen as an alternative to the plan.
    pub(super) fn alternative(&self, chosen: Chosen) -> Result<Alternative, PlanError> {
        let layout = self.search.layout(&chosen)?;
        let price = self.price(&layout.frame, &chosen.parts);
        // Nothing costs less than nothing.
        let is_free = price.aim <= 0 && price.spread <= 0;
        let aim = self.question().matching.buying.first.len();
        let at_most = match chosen.exact {
            _ if is_free && price.scatter <= 0.0 => AtMost::Nothing,
            exact if exact <= aim && !is_free => AtMost::All,
            exact if exact <= aim + 1 && chosen.values.len() > aim + 1 => AtMost::AfterTheAim,
            _ => AtMost::Nothing,
        };
        let price = Price { at_most, ..price };
        let setting = layout.frame.setting.clone();
        Ok(Alternative::Found { setting, seconds: chosen.seconds, parts: chosen.parts, price })
    }

    /// The plan with `one` in the place of `other`, which no criterion can tell from it: a plan as
    /// good as the plan.
    pub(super) fn exchanged(&self, other: usize, one: usize) -> Alternative {
        let swap = |&part: &usize| if part == other { one } else { part };
        let parts: Vec<usize> = self.chosen.parts.iter().map(swap).collect();
        let price = self.price(self.frame(), &parts);
        let setting = self.frame().setting.clone();
        Alternative::Found { setting, seconds: self.chosen.seconds.clone(), parts, price }
    }

    /// What the plan with `parts` in `frame` costs against the plan.
    pub(super) fn price(&self, frame: &Frame<'_>, parts: &[usize]) -> Price {
        let mine = aim_values(self.frame(), &self.chosen.parts);
        let other = aim_values(frame, parts);
        let spread = spread(&other) - spread(&mine);
        let aim = self.aim_loss(&other) - self.aim_loss(&mine);
        Price {
            spread,
            scatter: scatter(&other) - scatter(&mine),
            aim,
            money: spent(frame, parts) - spent(self.frame(), &self.chosen.parts),
            below_doubt: self.doubts(spread) && self.doubts(aim),
            at_most: AtMost::Nothing,
        }
    }

    /// What the aim loses with these values, in ticks, up to a constant: the worst deviation, the
    /// total or the extreme value with the sign that makes more worse; 0 where spread or squares
    /// say it all.
    fn aim_loss(&self, values: &[i64]) -> i64 {
        let aim = &self.question().matching.aim;
        let total: i64 = values.iter().sum();
        match (aim.goal, aim.by) {
            (Goal::Near(target), Measured::Squares) => whole(root_mean_square(values, target.ticks())),
            (_, Measured::Squares) | (Goal::Even, _) => 0,
            (Goal::Near(target), _) => values.iter().map(|value| (value - target.ticks()).abs()).max().unwrap_or(0),
            (Goal::Highest, Measured::Extreme) => -values.iter().copied().min().unwrap_or(0),
            (Goal::Lowest, Measured::Extreme) => values.iter().copied().max().unwrap_or(0),
            (Goal::Highest, _) => -total,
            (Goal::Lowest, _) => total,
        }
    }
}

#[expect(clippy::cast_possible_truncation, reason = "a deviation of an engine part is far inside i64")]
fn whole(ticks: f64) -> i64 {
    ticks.round_ties_even() as i64
}
