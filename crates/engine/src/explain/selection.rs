//! Which parts a pile gave, and which it did not: the last one in against the first one out, every position against the
//! best part left out, and what a limit keeps out.

use super::{Alternative, OtherPlan, Price, Scene};
use crate::fit::Doubt;
use crate::job::{Bounding, FitName, Goal, Measured};
use crate::limit::band;
use crate::plan::{Bar, LimitKind, Relaxed, band_between, pairs};
use crate::reduction::Pair;
use crate::statistics::Dof;

/// What was chosen from a pile, and against what.
#[derive(Clone, Debug, PartialEq)]
pub struct Selection {
    /// Parts that the match could use.
    pub of: usize,
    /// Parts that it places.
    pub placed: usize,
    /// The choice over the whole pile: the part that gains least, and what comes in its stead.
    pub edge: Option<Edge>,
    /// Every position by itself, in order; empty for an even aim, where no value is better than another by itself.
    pub contests: Vec<Contest>,
    /// Parts that a limit keeps out of every position because they go beyond it the way the aim wants.
    pub too_good: Vec<usize>,
}

/// The best plan with another set of parts: the last part in stays out, and the first one out comes in.
#[derive(Clone, Debug, PartialEq)]
pub struct Edge {
    /// Parts of the plan that the other plan leaves out.
    pub last_in: Vec<usize>,
    /// Parts that it has in their stead.
    pub first_out: Vec<usize>,
    /// What the other plan costs.
    pub price: Price,
    /// The doubt about the difference of the two totals, in ticks, for an aim that is a total; a smaller price is none.
    pub doubt: Option<f64>,
    /// The price is smaller than the readings' doubt.
    pub below_doubt: bool,
}

/// One position: the part there against those left out, all else staying as it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Contest {
    /// Index of the position.
    pub position: usize,
    /// The part there.
    pub part: usize,
    /// The aim's fit there, in ticks.
    pub value: i64,
    /// The best part left out that may go there.
    pub next: Option<Rival>,
    /// Why no better part of the pile stands there.
    pub because: Because,
    /// Better parts of the pile that a limit keeps out.
    pub barred: Option<Barred>,
}

/// Why no better part of the pile stands in a position.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Because {
    /// None would be better there.
    BestOfPile,
    /// Every one that would be better breaks a limit there, or may not go there.
    AtTheLimit,
    /// This one would be better there and stands elsewhere, where the plan has more of it.
    Elsewhere(usize),
    /// This one would be better there, and stays out for what else the match asks.
    Outranked(usize),
}

/// A part left out that may go to a position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rival {
    /// Its index.
    pub part: usize,
    /// The aim's fit there with it, in ticks.
    pub value: i64,
    /// By how much the part there is better, in ticks; negative where it is not, and something else stands in the way.
    pub gain: i64,
    /// The gain is smaller than the doubt about the difference.
    pub below_doubt: bool,
}

/// Parts of the pile that would be better in a position and may not go there for a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Barred {
    /// How many of them there are; that of the nearest is said what stands in the way.
    pub count: usize,
    /// The nearest to the part there.
    pub part: usize,
    /// The aim's fit there with it, in ticks.
    pub value: i64,
    /// The fit that is limited.
    pub fit: FitName,
    /// Which bound.
    pub kind: LimitKind,
    /// By how many ticks it misses the limit, guard band counted.
    pub misses: i64,
    /// How far the part there is inside the same limit, its guard band taken off, in ticks.
    pub spare: f64,
}

/// A choice from a pile explained; `None` where fewer parts stay out than are placed.
pub(super) fn selection(scene: &Scene<'_, '_>, others: &[OtherPlan]) -> Option<Selection> {
    let left_out = &scene.plan.left_out;
    let is_measured = |part: &&usize| !scene.is_type(**part);
    let placed = scene.chosen.parts.iter().filter(is_measured).count();
    // Where a position takes several parts of the kind, one role of them is not the choice from the pile.
    if left_out.len() < scene.chosen.parts.len()
        || !scene.question().beside().is_empty()
        || scene.question().first_role() >= scene.question().matching.place.len()
    {
        return None;
    }
    let contests = match scene.question().matching.aim.goal {
        Goal::Even => Vec::new(),
        _ => (0..scene.chosen.parts.len()).filter_map(|position| contest(scene, position)).collect(),
    };
    Some(Selection {
        of: left_out.len() + placed,
        placed,
        edge: others.iter().find_map(|other| edge(scene, other)),
        contests,
        too_good: left_out.iter().copied().filter(|&part| is_too_good(scene, part)).collect(),
    })
}

/// Larger is better by the aim.
fn worth(goal: Goal, value: i64) -> i64 {
    match goal {
        Goal::Highest => value,
        Goal::Lowest => -value,
        Goal::Near(target) => -(value - target.ticks()).abs(),
        Goal::Even => 0,
    }
}

fn edge(scene: &Scene<'_, '_>, other: &OtherPlan) -> Option<Edge> {
    let OtherPlan::OtherParts { plan: Alternative::Found { parts, price, setting, seconds }, .. } = other else {
        return None;
    };
    let mine = &scene.chosen.parts;
    let only =
        |of: &[usize], not: &[usize]| -> Vec<usize> { of.iter().copied().filter(|part| !not.contains(part)).collect() };
    let same_else = *setting == scene.frame().setting && *seconds == scene.chosen.seconds;
    let is_total = matches!(scene.question().matching.aim.by, Measured::Total) && same_else;
    let doubt = is_total.then(|| doubt_of_totals(scene, parts));
    let below_doubt = doubt.map_or(price.below_doubt, |doubt| (price.aim.abs() as f64) < doubt);
    Some(Edge { last_in: only(mine, parts), first_out: only(parts, mine), price: *price, doubt, below_doubt })
}

/// The band of the difference between the totals of the plan and of these parts: errors that both share cancel.
fn doubt_of_totals(scene: &Scene<'_, '_>, parts: &[usize]) -> f64 {
    let fit = scene.frame().aim_fit();
    let changed = |&(mine, other): &(Pair, Pair)| mine.part != other.part;
    let both: Vec<(Pair, Pair)> = pairs(&scene.chosen.parts).into_iter().zip(pairs(parts)).filter(changed).collect();
    let all: Vec<Pair> = both.iter().flat_map(|&(mine, other)| [mine, other]).collect();
    let covariance = fit.covariance(&all);
    let sign = |at: usize| if at.is_multiple_of(2) { 1.0 } else { -1.0 };
    let cells = (0..all.len()).flat_map(|row| (0..all.len()).map(move |column| (row, column)));
    let variance: f64 = cells.map(|(row, column)| sign(row) * sign(column) * covariance[(row, column)]).sum();
    let dof = all.iter().filter_map(|&pair| fit.doubt(pair)).map(|doubt| doubt.dof);
    let dof = dof.fold(Dof::INFINITE, |a, b| if b < a { b } else { a });
    band(Doubt { u: variance.max(0.0).sqrt(), dof, from_line: false }, &scene.question().guard)
}

fn contest(scene: &Scene<'_, '_>, position: usize) -> Option<Contest> {
    let (frame, goal) = (scene.frame(), scene.question().matching.aim.goal);
    let fit = frame.aim_fit();
    let part = scene.chosen.parts[position];
    let value = fit.value(Pair { position, part })?;
    let mine = worth(goal, value);
    let mut next: Option<(i64, usize)> = None;
    let mut nearest: Option<(i64, usize)> = None;
    let mut count = 0;
    let mut because = Because::BestOfPile;
    let placed = scene.chosen.parts.iter().map(|&part| (part, true));
    for (other, is_placed) in scene.plan.left_out.iter().map(|&part| (part, false)).chain(placed) {
        let pair = Pair { position, part: other };
        let Some(theirs) = fit.value(pair).map(|value| worth(goal, value)) else { continue };
        if scene.tables().admits(position, other) {
            if !is_placed {
                next = next.filter(|&(best, _)| best >= theirs).or(Some((theirs, other)));
            }
            if theirs > mine {
                because = if is_placed { Because::Elsewhere(other) } else { Because::Outranked(other) };
            }
        } else if theirs > mine && frame.may_go(pair) && !frame.pinned_out(pair) {
            count += 1;
            nearest = nearest.filter(|&(best, _)| best <= theirs).or(Some((theirs, other)));
        }
    }
    let rival = |(theirs, other): (i64, usize)| {
        let gain = mine - theirs;
        let ends = [Pair { position, part }, Pair { position, part: other }];
        let below_doubt = (gain.abs() as f64) < band_between(fit, ends, &scene.question().guard);
        Some(Rival { part: other, value: fit.value(ends[1])?, gain, below_doubt })
    };
    let barred = nearest.and_then(|(_, other)| barred(scene, [part, other], position, count));
    if because == Because::BestOfPile && nearest.is_some() {
        because = Because::AtTheLimit;
    }
    Some(Contest { position, part, value, next: next.and_then(rival), because, barred })
}

/// The limit that keeps the second part out of the position where the first one stands.
fn barred(scene: &Scene<'_, '_>, [part, other]: [usize; 2], position: usize, count: usize) -> Option<Barred> {
    let frame = scene.frame();
    let (mine, pair) = (Pair { position, part }, Pair { position, part: other });
    let limit = frame.bars(pair, Relaxed::default()).into_iter().find_map(|bar| match bar {
        Bar::Limit(limit) => Some(limit),
        Bar::Fits | Bar::Pinned | Bar::Untied => None,
    })?;
    let misses = frame.shortfall(limit, pair, false);
    let limit = &scene.question().limits[limit];
    let fit = frame.fit(limit.fit)?;
    let spare =
        limit.margin(position, fit.value(mine)?)? as f64 - limit.band(fit.doubt(mine)?, &scene.question().guard);
    let value = frame.aim_fit().value(pair)?;
    Some(Barred { count, part: other, value, fit: limit.fit, kind: limit.kind, misses, spare })
}

/// Whether a part may go nowhere because it is beyond a limit on the aim's own fit, everywhere on the side that the aim
/// wants.
fn is_too_good(scene: &Scene<'_, '_>, part: usize) -> bool {
    let aim = &scene.question().matching.aim;
    let side = match aim.goal {
        Goal::Highest => Bounding::Max,
        Goal::Lowest => Bounding::Min,
        Goal::Even | Goal::Near(_) => return false,
    };
    let frame = scene.frame();
    let caps = || {
        let limits = scene.question().limits.iter().enumerate();
        limits.filter(|(_, limit)| limit.fit == aim.fit && limit.kind == LimitKind::Side(side)).map(|(at, _)| at)
    };
    let open = |position: &usize| {
        let pair = Pair { position: *position, part };
        frame.may_go(pair) && !frame.pinned_out(pair)
    };
    let mut open = (0..scene.chosen.parts.len()).filter(open).peekable();
    let beyond = |position| caps().any(|limit| frame.shortfall(limit, Pair { position, part }, false) > 0);
    open.peek().is_some() && open.all(beyond)
}
