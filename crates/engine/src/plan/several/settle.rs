//! What comes after the aim and cannot be searched over all bundles: settled role by role.

use pairwright_proof::{Bundles, Roles};

use super::super::choose::{Answer, Chosen, PlanError};
use super::super::frame::Frame;
use super::super::search::{Asked, Layout};
use super::super::setting::Setting;
use super::asked::Wanted;
use super::bundles::Several;
use super::stages::{Found, Staged};
use crate::job::{Measured, Next};
use crate::quantity::Amount;

impl<'q> Several<'q> {
    /// The best choice by all criteria: exact by the aim where the search comes to its end.
    pub(in crate::plan) fn best(&self, asked: Asked<'_>) -> Result<Answer, PlanError> {
        if asked.settings.is_some_and(|wanted| !wanted(&Setting::default())) {
            return Ok(Answer::Short(super::super::choose::Short::no_setting()));
        }
        let near_by = if asked.is_nothing() { None } else { self.near_by(asked)? };
        if let (Some((key, chosen)), Some((least, _))) = (&near_by, self.plan.get())
            && key <= least
        {
            // As good as the plan: nothing is better.
            return Ok(Answer::Chosen(chosen.clone()));
        }
        let all = match asked.bring_in {
            Some(_) => self.brought_in(asked)?,
            None => vec![self.staged(Wanted::of(asked))?],
        };
        let (mut best, mut other) = (near_by, None);
        for found in all {
            let staged = match found {
                Found::Staged(staged) => staged,
                Found::Short(short) => {
                    other.get_or_insert(Answer::Short(short));
                    continue;
                }
                Found::Undecided => {
                    other = Some(Answer::Undecided);
                    continue;
                }
            };
            let (key, chosen) = self.settled(&staged, asked)?;
            if best.as_ref().is_none_or(|(known, _)| key < *known) {
                best = Some((key, chosen));
            }
        }
        if let Some(best) = best.clone().filter(|_| asked.is_nothing()) {
            // A question has one plan.
            let _ = self.plan.set(best);
        }
        let chosen = best.map(|(_, chosen)| Answer::Chosen(chosen));
        Ok(chosen.or(other).unwrap_or_else(|| Answer::Short(self.short())))
    }

    /// Settles what the search over all bundles left open, as far as exchanging parts of one role at a time goes. An
    /// explanation compares aims, spreads and scatter: there only the search counts.
    fn settled(&self, staged: &Staged, asked: Asked<'_>) -> Result<(Vec<i128>, Chosen), PlanError> {
        let mut best = self.chosen(&staged.bundles)?;
        best.1.stopped = staged.stopped;
        best.1.exact = usize::from(staged.stopped.is_none());
        if !asked.is_nothing() || staged.is_settled && !self.has_more_criteria() {
            return Ok(best);
        }
        let turns = if self.pile.roles == Roles::Alike { self.pile.each } else { 1 };
        let mut idle = 0;
        for turn in (0..turns).cycle().take(turns * ROUNDS) {
            let found = self.exchanged(&best.1, turn, staged.aim)?;
            idle = match found {
                Some(found) if found.0 < best.0 => {
                    best = (found.0, Chosen { stopped: best.1.stopped, exact: best.1.exact, ..found.1 });
                    0
                }
                _ => idle + 1,
            };
            if idle == turns {
                break;
            }
        }
        Ok(best)
    }

    /// Whether anything is asked for beside aim, spread and squares.
    fn has_more_criteria(&self) -> bool {
        self.question.matching.then.is_some() || self.question.knows_where_parts_stand()
    }

    /// The best parts of one role, those of the others staying; the role is the one `turn` places behind the first.
    fn exchanged(&self, chosen: &Chosen, turn: usize, aim: i128) -> Result<Option<(Vec<i128>, Chosen)>, PlanError> {
        let Some(mut bundles) = self.together(&chosen.parts, &chosen.seconds) else { return Ok(None) };
        bundles.0.iter_mut().for_each(|items| items.rotate_left(turn));
        let (_, beside) = self.apart(&bundles);
        let layout = self.layout(&beside)?;
        let alone = layout.tables.aim_alone();
        let Some(here) = alone.answer(&alone.problem()?)?.chosen() else { return Ok(None) };
        let rank = layout.tables.ranks[0];
        let give = match (self.question.matching.aim.by, self.question.matching.aim.slack) {
            (_, None) => 0,
            (Measured::Squares, Some(slack)) => {
                super::super::choose::squares_slack(self.question.positions.len(), rank.measure, aim, slack.ticks())
                    .into()
            }
            (_, Some(slack)) => i128::from(Amount::ticks(slack)),
        };
        let give = rank.loss(aim) + give - rank.loss(here.values[0]);
        if give < 0 {
            return Ok(None);
        }
        let tables = layout.tables.clone().giving(give);
        let Some(found) = tables.answer(&tables.problem()?)?.chosen() else { return Ok(None) };
        let Some(bundles) = self.together(&found.parts, &beside) else { return Ok(None) };
        self.chosen(&bundles).map(Some)
    }

    /// The tables of the first role, those parts standing beside it.
    pub(in crate::plan) fn layout(&self, beside: &[usize]) -> Result<Layout<'q>, PlanError> {
        Layout::new(Frame::new(self.question, Setting::default(), beside.to_vec()), self.relaxed)
    }

    /// A choice of these bundles with the values of all criteria, and what orders choices: less is better.
    pub(super) fn chosen(&self, bundles: &Bundles) -> Result<(Vec<i128>, Chosen), PlanError> {
        let mut chosen = self.bare(bundles);
        let layout = self.layout(&chosen.seconds)?;
        chosen.values = layout.tables.values(&chosen.parts)?;
        let added = self.added(&chosen.seconds);
        chosen.values.iter_mut().zip(added).for_each(|(value, added)| *value += added);
        let skip = usize::from(self.question.matching.aim.slack.is_some());
        let losses = layout.tables.ranks.iter().zip(&chosen.values).map(|(rank, value)| rank.loss(*value));
        Ok((losses.skip(skip).collect(), chosen))
    }

    /// The same without its values.
    pub(super) fn bare(&self, bundles: &Bundles) -> Chosen {
        let (parts, seconds) = self.apart(bundles);
        Chosen { parts, seconds, setting: 0, values: Vec::new(), stopped: None, exact: 0, is_first: false }
    }

    /// What the parts beside the first role add to moves and prices, criterion by criterion.
    pub(super) fn added(&self, beside: &[usize]) -> Vec<i128> {
        let question = self.question;
        let stock = question.stocks[question.first_role()];
        let moved = || {
            let stands = |part: usize| question.stands(&stock.parts[part]);
            let rest = question.beside().len().max(1);
            beside.iter().enumerate().filter(|&(at, &part)| stands(part) != Some(at / rest)).count() as i128
        };
        let price = |part: usize| stock.columns.value("price", part).map_or(0, Amount::ticks);
        match &question.matching.then {
            None => {
                let evens = [pairwright_proof::Measure::Spread, pairwright_proof::Measure::SquaresAboutMean];
                let (aim, _) = super::super::criteria::of_aim(&question.matching.aim);
                let ranks = 1 + evens.iter().filter(|&&measure| measure != aim).count();
                let moves = question.knows_where_parts_stand().then(moved);
                std::iter::repeat_n(0, ranks).chain(moves).collect()
            }
            Some(then) => {
                let add = |next: &Next| match next {
                    Next::Spread(_) => 0,
                    Next::Moves => moved(),
                    Next::Price => beside.iter().map(|&part| i128::from(price(part))).sum(),
                    Next::Bought => {
                        beside.iter().filter(|&&part| stock.columns.value("price", part).is_some()).count() as i128
                    }
                };
                std::iter::once(0).chain(then.iter().map(add)).collect()
            }
        }
    }
}

/// Each role is gone through so often at most.
const ROUNDS: usize = 8;
