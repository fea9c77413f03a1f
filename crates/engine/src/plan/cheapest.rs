//! What the cheapest plan costs, whatever may be spent.

use super::choose::{Answer, PlanError};
use super::search::{Asked, Layout, Search};
use super::spending::spent_beside;

/// What is known of the cheapest plan within the limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Cheapest {
    /// What it costs, all roles together and in ticks of money.
    Costs(i64),
    /// There is no plan, whatever may be spent.
    Nothing,
    /// The search ended before it was known.
    Unknown,
}

impl Cheapest {
    /// The cheaper of two, as far as both are known.
    fn or(self, other: Self) -> Self {
        match (self, other) {
            (Self::Unknown, _) | (_, Self::Unknown) => Self::Unknown,
            (Self::Nothing, known) | (known, Self::Nothing) => known,
            (Self::Costs(one), Self::Costs(other)) => Self::Costs(one.min(other)),
        }
    }

    pub(super) fn of(total: i128) -> Self {
        i64::try_from(total).map_or(Self::Unknown, Self::Costs)
    }
}

impl Search<'_> {
    /// The cheapest plan that answers a question of an explanation, where something limits what may be spent.
    pub(crate) fn cheapest(&self, asked: Asked<'_>) -> Result<Cheapest, PlanError> {
        if let Some(joint) = self.joint() {
            return Ok(match joint.cheapest_of(asked)? {
                (Some((_, price)), true) => Cheapest::of(price),
                (None, true) => Cheapest::Nothing,
                (_, false) => Cheapest::Unknown,
            });
        }
        if let Some(several) = self.several() {
            return Ok(several.cheapest_ways(asked)?.into_iter().fold(Cheapest::Nothing, Cheapest::or));
        }
        let wanted = |layout: &Layout<'_>| asked.settings.is_none_or(|wanted| wanted(&layout.frame.setting));
        let all = self.layouts().iter().filter(|layout| wanted(layout));
        all.map(|layout| layout.cheapest(asked)).try_fold(Cheapest::Nothing, |known, one| Ok(known.or(one?)))
    }
}

impl Layout<'_> {
    fn cheapest(&self, asked: Asked<'_>) -> Result<Cheapest, PlanError> {
        let Some(tables) = self.tables.by_price() else { return Ok(Cheapest::Unknown) };
        Ok(match tables.changed(asked)? {
            Answer::Chosen(chosen) if chosen.stopped.is_none() => {
                Cheapest::of(chosen.values[0] + i128::from(spent_beside(&self.frame)))
            }
            Answer::Short(_) => Cheapest::Nothing,
            Answer::Chosen(_) | Answer::Undecided => Cheapest::Unknown,
        })
    }
}
