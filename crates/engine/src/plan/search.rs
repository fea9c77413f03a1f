//! The choice over all settings: tables for each, and the best over all of them.

use std::rc::Rc;

use pairwright_assign::{Cause, Problem, Reason};
use pairwright_proof::Sense;

use super::admission::Relaxed;
use super::chain::{InOrder, Pick, Settled};
use super::choose::{Answer, Chosen, PlanError, Short, slot, squares_slack};
use super::criteria::criteria;
use super::frame::Frame;
use super::joint::Joint;
use super::layer::Layer;
use super::question::Question;
use super::result;
use super::setting::Setting;
use super::several::Several;
use super::spending::{setting_bought, setting_price};
use super::tables::{Rank, Tables};
use crate::job::{Measured, Stock};

/// One setting with its tables.
#[derive(Debug)]
pub(crate) struct Layout<'q> {
    pub(crate) frame: Frame<'q>,
    pub(crate) tables: Tables,
    /// Where a limit on a spread is held with the widest guard band of any two placements, so that a better choice
    /// may exist: the tables with the narrowest, among which are all that hold it.
    pub(crate) bound: Option<Tables>,
    /// What the setting itself adds to every criterion: moves and prices of its parts.
    pub(super) adds: Vec<i128>,
}

/// A change to the question that an explanation asks about.
#[derive(Clone, Copy, Default)]
pub(crate) struct Asked<'a> {
    /// This part must not stand in this position; where a position takes several of one kind, in none of their roles.
    pub(crate) forbid: Option<(usize, usize)>,
    /// These parts, one for each role of one kind, must not stand in this position together.
    pub(crate) instead: Option<(usize, &'a [usize])>,
    /// This part stays on the shelf.
    pub(crate) leave_out: Option<usize>,
    /// This part is used.
    pub(crate) bring_in: Option<usize>,
    /// Only settings that it accepts.
    pub(crate) settings: Option<&'a dyn Fn(&Setting) -> bool>,
}

impl Asked<'_> {
    /// Whether it lets the part, or any piece like it, into the position.
    pub(super) fn allows(&self, stock: &Stock, position: usize, part: usize) -> bool {
        let is = |named: usize| stock.is_alike(named, part);
        let forbidden = self.forbid.is_some_and(|(at, named)| at == position && is(named));
        !forbidden && !self.leave_out.is_some_and(is)
    }

    /// Whether the question is asked as it stands.
    pub(crate) fn is_nothing(&self) -> bool {
        self.forbid.is_none()
            && self.instead.is_none()
            && self.leave_out.is_none()
            && self.bring_in.is_none()
            && self.settings.is_none()
    }
}

/// Everything that a question can be answered from.
#[derive(Debug)]
pub(crate) struct Search<'q> {
    pub(crate) question: &'q Question<'q>,
    relaxed: Relaxed,
    ways: Ways<'q>,
}

/// One role a position needs a table for every setting; two are searched together, and so are several of one kind.
#[derive(Debug)]
enum Ways<'q> {
    Layouts(Vec<Rc<Layout<'q>>>),
    Joint(Box<Joint<'q>>),
    Several(Box<Several<'q>>),
}

impl<'q> Search<'q> {
    /// Lays out what there is to choose from.
    ///
    /// # Errors
    /// [`PlanError`] for more settings, positions or parts than can be gone through.
    pub(crate) fn new(question: &'q Question<'q>, relaxed: Relaxed) -> Result<Self, PlanError> {
        let ways = if !question.beside().is_empty() {
            Ways::Several(Box::new(Several::new(question, relaxed)?))
        } else if question.second_role().is_some() {
            Ways::Joint(Box::new(Joint::new(question, relaxed)?))
        } else {
            let settings = question.settings().ok_or(PlanError::TooManySettings)?;
            let layout = |setting| Layout::new(Frame::new(question, setting, Vec::new()), relaxed).map(Rc::new);
            Ways::Layouts(settings.into_iter().map(layout).collect::<Result<_, _>>()?)
        };
        Ok(Self { question, relaxed, ways })
    }

    /// The layouts of all settings; empty where two roles are searched together.
    pub(crate) fn layouts(&self) -> &[Rc<Layout<'q>>] {
        match &self.ways {
            Ways::Layouts(layouts) => layouts,
            Ways::Joint(_) | Ways::Several(_) => &[],
        }
    }

    /// Every setting there is.
    pub(crate) fn settings(&self) -> Vec<Setting> {
        match &self.ways {
            Ways::Layouts(layouts) => layouts.iter().map(|layout| layout.frame.setting.clone()).collect(),
            Ways::Joint(joint) => joint.settings().to_vec(),
            Ways::Several(_) => vec![Setting::default()],
        }
    }

    /// The joint search of two roles, where there is one.
    pub(crate) fn joint(&self) -> Option<&Joint<'q>> {
        match &self.ways {
            Ways::Joint(joint) => Some(joint),
            Ways::Layouts(_) | Ways::Several(_) => None,
        }
    }

    /// The search of several parts of one kind a position, where there is one.
    pub(crate) fn several(&self) -> Option<&Several<'q>> {
        match &self.ways {
            Ways::Several(several) => Some(several),
            Ways::Layouts(_) | Ways::Joint(_) => None,
        }
    }

    /// Whether limits on a spread are held with the widest guard band of any two positions, so that a better plan may exist.
    pub(crate) fn by_widest_band(&self, layout: &Layout<'_>) -> bool {
        match &self.ways {
            Ways::Layouts(_) => layout.bound.is_some(),
            Ways::Joint(_) => false,
            Ways::Several(several) => several.by_widest,
        }
    }

    /// The layout of a choice.
    ///
    /// # Errors
    /// [`PlanError`] where it has to be laid out anew and is too large.
    pub(crate) fn layout(&self, chosen: &Chosen) -> Result<Rc<Layout<'q>>, PlanError> {
        match &self.ways {
            Ways::Layouts(layouts) => Ok(Rc::clone(&layouts[chosen.setting])),
            Ways::Joint(joint) => self.joint_layout(joint, chosen.setting, &chosen.seconds).map(Rc::new),
            Ways::Several(several) => several.layout(&chosen.seconds).map(Rc::new),
        }
    }

    fn joint_layout(&self, joint: &Joint<'q>, setting: usize, seconds: &[usize]) -> Result<Layout<'q>, PlanError> {
        let setting = joint.settings()[setting].clone();
        Layout::new(Frame::new(self.question, setting, seconds.to_vec()), self.relaxed)
    }

    /// The best choice of all settings, by the criteria in order; of equal ones the first setting's.
    pub(crate) fn best(&self, asked: Asked<'_>) -> Result<Answer, PlanError> {
        match &self.ways {
            Ways::Layouts(layouts) => self.best_of(layouts, asked),
            Ways::Joint(joint) => Self::best_jointly(joint, asked),
            Ways::Several(several) => several.best(asked),
        }
    }

    fn best_of(&self, layouts: &[Rc<Layout<'q>>], asked: Asked<'_>) -> Result<Answer, PlanError> {
        let wanted = |layout: &&Layout<'_>| asked.settings.is_none_or(|wanted| wanted(&layout.frame.setting));
        let numbered = || layouts.iter().map(Rc::as_ref).enumerate().filter(|(_, layout)| wanted(layout));
        if let (Some((at, only)), None) = (numbered().next(), numbered().nth(1)) {
            let tables = only.tables.clone().giving_what_it_may(self.question)?;
            return Ok(tables.changed(asked)?.at(at, &[]));
        }
        let aim = self.question.matching.buying.first.len();
        let mut best: Option<Vec<i128>> = None;
        let (mut short, mut undecided) = (None, false);
        let mut aims = Vec::new();
        for (at, layout) in numbered() {
            match layout.tables.up_to_the_aim().changed(asked)? {
                Answer::Chosen(chosen) => {
                    let losses = layout.losses(&chosen.values);
                    best = Some(best.map_or_else(|| losses.clone(), |best| best.min(losses.clone())));
                    aims.push((at, losses));
                }
                Answer::Short(one) => {
                    short.get_or_insert(one);
                }
                Answer::Undecided => undecided = true,
            }
        }
        if undecided && best.is_none() {
            return Ok(Answer::Undecided);
        }
        let Some(best) = best else { return Ok(Answer::Short(short.unwrap_or_else(Short::no_setting))) };
        let most = best[aim] + i128::from(slack(self.question, &layouts[0].tables, best[aim]));
        let mut found: Option<(Vec<i128>, Chosen)> = None;
        let may_be_best = |losses: &[i128]| losses[..aim] == best[..aim] && losses[aim] <= most;
        for (at, losses) in aims.into_iter().filter(|(_, losses)| may_be_best(losses)) {
            let layout = &layouts[at];
            let tables = layout.tables.clone().giving(most - losses[aim]);
            let Answer::Chosen(chosen) = tables.changed(asked)?.at(at, &[]) else { continue };
            let key = layout.key(&chosen);
            if found.as_ref().is_none_or(|(known, _)| key < *known) {
                found = Some((key, chosen));
            }
        }
        let Some((_, mut chosen)) = found else { return Ok(Answer::Short(Short::no_setting())) };
        if undecided {
            chosen.stopped = chosen.stopped.or(Some(Reason::EffortSpent));
        }
        Ok(Answer::Chosen(chosen))
    }

    /// All criteria over both roles at once.
    fn best_jointly(joint: &Joint<'q>, asked: Asked<'_>) -> Result<Answer, PlanError> {
        let Settled { pick, values, exact, is_first } = match joint.in_order(asked)? {
            InOrder::Settled(settled) => settled,
            InOrder::Short { positions, parts } => {
                return Ok(Answer::Short(Short { positions, parts, cause: Cause::Pairs }));
            }
            InOrder::Undecided => return Ok(Answer::Undecided),
        };
        let Pick { setting, firsts, seconds } = pick;
        let stopped = (exact <= joint.before).then_some(Reason::EffortSpent);
        Ok(Answer::Chosen(Chosen { parts: firsts, seconds, setting, values, stopped, exact, is_first }))
    }
}

/// How much the aim may give for what comes next, in ticks of its measure, from its best value.
pub(super) fn slack(question: &Question<'_>, tables: &Tables, best: i128) -> i64 {
    let aim = &question.matching.aim;
    match (aim.by, aim.slack) {
        (_, None) => 0,
        (Measured::Squares, Some(slack)) => squares_slack_of(tables, best, slack.ticks()),
        (_, Some(slack)) => slack.ticks(),
    }
}

fn squares_slack_of(tables: &Tables, best: i128, slack: i64) -> i64 {
    squares_slack(tables.of_ticks[0].shape().slots, tables.aim().measure, best, slack)
}

impl<'q> Layout<'q> {
    /// The tables to choose from, and whether the best choice from them is the best of all.
    ///
    /// A limit on a spread has the guard band of the two placements at the ends, which are not known before the
    /// choice. Where bands differ, the choice is first made with the narrowest of them, which excludes nothing
    /// that could hold the limit: if that plan holds it by its own band, it is the best of all. Else the widest
    /// band makes every plan hold it, at the price of some that would, too.
    pub(super) fn new(frame: Frame<'q>, relaxed: Relaxed) -> Result<Self, PlanError> {
        let (tables, bound) = guarded_tables(&frame, relaxed)?;
        let adds = criteria(frame.question).into_iter().map(|criterion| frame.adds(criterion.layer)).collect();
        Ok(Self { frame, tables, bound, adds })
    }

    /// What tells choices of different settings apart once their aims are good enough: the criteria, less is better, what
    /// the setting adds included; without the aim where it may give something.
    fn key(&self, chosen: &Chosen) -> Vec<i128> {
        let mut losses = self.losses(&chosen.values);
        if self.frame.question.matching.aim.slack.is_some() {
            losses.remove(self.tables.before);
        }
        losses
    }
}

fn guarded_tables(frame: &Frame<'_>, relaxed: Relaxed) -> Result<(Tables, Option<Tables>), PlanError> {
    let tables = Tables::new(frame, relaxed)?;
    if !tables.uneven || relaxed.unguarded {
        return Ok((tables, None));
    }
    let wider = Tables::new(frame, Relaxed { by_narrowest: true, ..relaxed })?;
    let settled = wider.clone().giving_what_it_may(frame.question)?;
    let Answer::Chosen(chosen) = settled.answer(&settled.problem()?)? else { return Ok((wider, None)) };
    Ok(if result::holds(frame, &chosen.parts) { (wider, None) } else { (tables, Some(wider)) })
}

impl Frame<'_> {
    /// What the parts of the setting add to a criterion, beside what the table of its layer holds.
    pub(super) fn adds(&self, layer: Layer) -> i128 {
        match layer {
            Layer::Moves => result::setting_moves(self).try_into().unwrap_or(i128::MAX),
            Layer::Price => setting_price(self.question, &self.setting).into(),
            Layer::Bought => setting_bought(self.question, &self.setting).into(),
            Layer::Aim | Layer::Fit(_) => 0,
        }
    }
}

impl Rank {
    /// The value turned so that less is better.
    pub(crate) fn loss(&self, value: i128) -> i128 {
        if self.sense == Sense::Least { value } else { -value }
    }
}

impl Tables {
    /// Answers a changed question from these tables.
    pub(super) fn changed(&self, asked: Asked<'_>) -> Result<Answer, PlanError> {
        let mut problem: Problem<'_> = self.problem()?;
        if let Some((position, part)) = asked.forbid {
            for item in self.kept.items_alike(part) {
                problem = problem.forbid(slot(position), item)?;
            }
        }
        if let Some(part) = asked.leave_out {
            for item in self.kept.items_alike(part) {
                problem = problem.leave_out(item)?;
            }
        }
        let Some(part) = asked.bring_in else { return self.answer(&problem) };
        let stand_in = self.item(part);
        let mut answer = self.answer(&problem.bring_in(stand_in)?)?;
        if let Answer::Chosen(chosen) = &mut answer {
            // A part like it was brought in: no value changes when the part itself takes its place.
            let like_it = self.part(stand_in);
            if let Some(placed) = chosen.parts.iter_mut().find(|placed| **placed == like_it) {
                *placed = part;
            }
        }
        Ok(answer)
    }

    /// The criterion that the aim is.
    pub(crate) fn aim(&self) -> &Rank {
        &self.ranks[self.before]
    }

    /// The same tables with the aim as the only criterion.
    pub(crate) fn aim_alone(&self) -> Self {
        let aim = Rank { slack: 0, ..*self.aim() };
        Self { ranks: vec![aim], before: 0, ..self.clone() }
    }

    /// The same tables with the aim as the last criterion, giving nothing.
    pub(crate) fn up_to_the_aim(&self) -> Self {
        let mut ranks = self.ranks[..=self.before].to_vec();
        ranks[self.before].slack = 0;
        Self { ranks, ..self.clone() }
    }

    /// The same tables, the aim giving so much for what comes next.
    pub(crate) fn giving(mut self, slack: i128) -> Self {
        self.ranks[self.before].slack = i64::try_from(slack).unwrap_or(i64::MAX);
        self
    }

    /// The same tables, the aim giving what the match says it may.
    pub(crate) fn giving_what_it_may(self, question: &Question<'_>) -> Result<Self, PlanError> {
        let aim = &question.matching.aim;
        let Some(slack) = aim.slack else { return Ok(self) };
        if aim.by != Measured::Squares {
            return Ok(self.giving(slack.ticks().into()));
        }
        // What comes before the aim leaves less to choose from.
        let so_far = self.up_to_the_aim();
        let Answer::Chosen(best) = so_far.answer(&so_far.problem()?)? else { return Ok(self) };
        let slack = squares_slack_of(&self, best.values[self.before], slack.ticks());
        Ok(self.giving(slack.into()))
    }
}
