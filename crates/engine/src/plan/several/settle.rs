//! What comes after the aim and cannot be searched over all bundles: settled role by role.

use pairwright_proof::Roles;

use super::super::choose::{Answer, Chosen, PlanError};
use super::super::frame::Frame;
use super::super::search::{Asked, Layout};
use super::super::setting::Setting;
use super::asked::Wanted;
use super::bundles::Several;
use super::stages::{Found, Staged};
use crate::job::Measured;
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
        // Of all that were searched, so many criteria are settled.
        let mut settled = usize::MAX;
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
            let (mut key, mut chosen) = self.settled(&staged, asked)?;
            settled = settled.min(chosen.exact);
            if self.pieces.iter().any(Option::is_some)
                && let Some(bundles) = self.together(&chosen.parts, &chosen.seconds)
            {
                // No value changes but that of moves.
                let (stayed, standing) = self.chosen(&self.with_standing_pieces(bundles))?;
                if stayed <= key {
                    let Chosen { stopped, exact, is_first, .. } = chosen;
                    (key, chosen) = (stayed, Chosen { stopped, exact, is_first, ..standing });
                }
            }
            if best.as_ref().is_none_or(|(known, _)| key < *known) {
                best = Some((key, chosen));
            }
        }
        if let Some((_, best)) = best.as_mut().filter(|_| settled != usize::MAX) {
            best.exact = settled;
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
        let Staged { exact, is_first, stopped, .. } = *staged;
        let is_through = exact == self.criteria().len();
        (best.1.exact, best.1.is_first, best.1.stopped) = (exact, is_first && is_through, stopped);
        // What comes before the aim is not exchanged for.
        if !asked.is_nothing() || is_through || self.aim_at() > 0 {
            return Ok(best);
        }
        let aim = best.1.values[0];
        let turns = if self.pile.roles == Roles::Alike { self.pile.each } else { 1 };
        let mut idle = 0;
        for turn in (0..turns).cycle().take(turns * ROUNDS) {
            let found = self.exchanged(&best.1, turn, aim)?;
            idle = match found {
                Some((key, chosen)) if key < best.0 => {
                    best = (key, Chosen { stopped, exact, is_first: false, ..chosen });
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
        if self.keeps(&self.held, &bundles) { self.chosen(&bundles).map(Some) } else { Ok(None) }
    }

    /// The tables of the first role, those parts standing beside it.
    pub(in crate::plan) fn layout(&self, beside: &[usize]) -> Result<Layout<'q>, PlanError> {
        Layout::new(Frame::new(self.question, Setting::default(), beside.to_vec()), self.relaxed)
    }
}

/// Each role is gone through so often at most.
const ROUNDS: usize = 8;
