//! A job and changes to the job as they leave it.

use super::square::cuts;
use crate::clearance::as_read_in;
use crate::job::{BoundOf, CYLINDER, Change, Dish, Job, LimitAsked, Matching, Part, Pin, Positions, Stock};
use crate::plan::Setting;
use crate::quantity::Amount;
use crate::reduction::Reductions;

/// Why a change cannot be made to this job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NotApplied {
    /// The slope of a deck is not known.
    #[error("fewer than two cylinders of the bank have a deck that can be compared")]
    NoSlope {
        /// Index of the bank.
        bank: usize,
    },
    /// Places are to be swapped as they are in a plan, and there is none.
    #[error("the job as it stands has no plan in which anything could be swapped")]
    NothingToSwap {
        /// Index of the match.
        matching: usize,
    },
}

/// What changes are made to.
#[derive(Clone, Copy)]
pub(super) struct Ground<'a> {
    pub(super) job: &'a Job,
    pub(super) reductions: &'a Reductions,
    /// The setting of every match as it stands, where it has a plan.
    pub(super) settings: &'a [Option<Setting>],
}

/// The job with the changes made to it. Changes that do not [`clash`](super::clash) give the same job in any order, but for
/// the order of parts that are added.
pub(super) fn apply<'c>(ground: Ground<'_>, changes: impl IntoIterator<Item = &'c Change>) -> Result<Job, NotApplied> {
    let mut changed = ground.job.clone();
    for change in changes {
        one(ground, &mut changed, change)?;
    }
    if !changed.ledger.entries.is_empty() {
        // Clearances were read in the engine as it was: what was cut since comes off what is left of them.
        changed.ledger = as_read_in((ground.job, ground.reductions), (&changed, ground.reductions));
    }
    Ok(changed)
}

fn one(ground: Ground<'_>, job: &mut Job, change: &Change) -> Result<(), NotApplied> {
    match change {
        Change::Fix { matching, pin } => fix(&mut job.matches[*matching], *pin),
        Change::Swap { matching, role, banks } => swap(ground, job, *matching, *role, *banks)?,
        Change::Without { stock, part } => part_of(job, *stock, *part, |part| part.fits = Some(Vec::new())),
        Change::Admit { stock, part } => part_of(job, *stock, *part, |part| part.fits = None),
        Change::Add { stock, parts } => add(&mut job.stocks[*stock], parts),
        Change::CutDeck { bank, by } => {
            let cylinders = job.banks.get(*bank).map(|bank| bank.cylinders.clone()).unwrap_or_default();
            for cylinder in cylinders {
                cut_deck(ground, job, cylinder, *by);
            }
        }
        Change::SquareDeck { bank } => {
            for (cylinder, by) in cuts(ground.job, ground.reductions, *bank)? {
                cut_deck(ground, job, cylinder, by);
            }
        }
        Change::CutCrown { piston, by, dish } => {
            cut_crown(ground, job, *piston, *by, *dish);
            job.ledger.crowns.push((*piston, *by));
        }
        Change::Chamber { head, chamber, by } => job.machined.chambers.push((*head, *chamber, *by)),
        Change::Stroke(stroke) => {
            let longer = stroke.ticks() - job.engine.stroke.map_or(stroke.ticks(), Amount::ticks);
            job.engine.stroke = Some(*stroke);
            job.ledger.measure_timing_again(None);
            reach(ground, job, longer / 2);
        }
        Change::RodLength(length) => {
            let longer = length.ticks() - job.engine.rod_length.map_or(length.ticks(), Amount::ticks);
            job.engine.rod_length = Some(*length);
            reach(ground, job, longer);
        }
        Change::LobeLift(lift) => {
            job.engine.lobe_lift = Some(*lift);
            job.ledger.measure_timing_again(None);
            of_rockers(job, |positions, row| positions.columns.change("lobe_lift", row, |_| *lift), None);
        }
        Change::LobeLiftAt { position, lift } => {
            job.ledger.measure_timing_again(Some(*position));
            of_rockers(job, |positions, row| positions.columns.change("lobe_lift", row, |_| *lift), Some(*position));
        }
        Change::Bound { matching, fit, which, to } => {
            let limit = limit_of(&mut job.matches[*matching], *fit);
            let bound = match which {
                BoundOf::Min => &mut limit.min,
                BoundOf::Max => &mut limit.max,
                BoundOf::Spread => &mut limit.spread,
                BoundOf::Neighbours => &mut limit.neighbours,
            };
            *bound = Some(*to);
        }
        Change::Guard { matching, fit, guard } => limit_of(&mut job.matches[*matching], *fit).guard = *guard,
        Change::Aim { matching, aim } => job.matches[*matching].aim = *aim,
        Change::Then { matching, then } => job.matches[*matching].then = Some(then.clone()),
    }
    Ok(())
}

fn fix(matching: &mut Matching, pin: Pin) {
    if !matching.keep.contains(&pin) {
        matching.keep.push(pin);
    }
}

/// Keeps on each bank what the other has in the plan as it stands.
fn swap(
    ground: Ground<'_>,
    job: &mut Job,
    matching: usize,
    role: usize,
    [one, other]: [usize; 2],
) -> Result<(), NotApplied> {
    let nothing = NotApplied::NothingToSwap { matching };
    let setting = ground.settings.get(matching).and_then(Option::as_ref).ok_or(nothing)?;
    for (to, from) in [(one, other), (other, one)] {
        let part = setting.part(role, from).ok_or(nothing)?;
        fix(&mut job.matches[matching], Pin { position: to, part, role });
    }
    Ok(())
}

fn part_of(job: &mut Job, stock: usize, part: usize, change: impl FnOnce(&mut Part)) {
    if let Some(part) = job.stocks.get_mut(stock).and_then(|stock| stock.parts.get_mut(part)) {
        change(part);
    }
}

fn add(stock: &mut Stock, more: &Stock) {
    stock.columns.append(stock.parts.len(), &more.columns, more.parts.len());
    stock.parts.extend(more.parts.iter().cloned());
}

/// Takes metal off the deck at a cylinder: off its measured height, where it has one, and off what its readings say.
fn cut_deck(ground: Ground<'_>, job: &mut Job, cylinder: usize, by: i64) {
    let measured = job.positions(CYLINDER).is_some_and(|all| all.columns.value("deck_height", cylinder).is_some());
    for positions in job.positions.iter_mut().filter(|positions| positions.kind == CYLINDER) {
        let row = positions.within(cylinder);
        positions.columns.change("deck_height", row, |height| height.plus(-by));
    }
    if ground.reductions.deck.is_some() || !measured {
        job.machined.cut_deck(cylinder, by);
    }
}

/// How much comes off the deck at a cylinder between the job as it stands and a job that changes made of it, in ticks: off
/// its measured height, or where that does not change, beside what was read.
#[must_use]
pub fn deck_cut(stands: &Job, changed: &Job, cylinder: usize) -> i64 {
    let height = |job: &Job| job.positions(CYLINDER)?.columns.value("deck_height", cylinder).map(Amount::ticks);
    let off = height(stands).zip(height(changed)).map_or(0, |(before, after)| before - after);
    if off == 0 { changed.machined.decks.get(cylinder).copied().unwrap_or(0) } else { off }
}

fn cut_crown(ground: Ground<'_>, job: &mut Job, piston: usize, by: i64, dish: Dish) {
    let Some(stock) = job.stocks.iter_mut().find(|stock| stock.kind == "piston") else { return };
    stock.columns.change("compression_height", piston, |height| height.plus(-by));
    match dish {
        Dish::Same => {}
        Dish::Less(less) => stock.columns.change("dish", piston, |dish| dish.plus(-less)),
        Dish::Now(now) => stock.columns.change("dish", piston, |_| now),
    }
    if ground.reductions.deck.is_some() {
        job.machined.cut_crown(piston, by);
    }
}

/// Without readings the sizes say themselves how high a piston comes.
fn reach(ground: Ground<'_>, job: &mut Job, higher: i64) {
    if ground.reductions.deck.is_some() {
        job.machined.reach += higher;
    }
}

/// Does something to every row, or to the one of the position at `only`, of all positions that rockers go to.
fn of_rockers(job: &mut Job, change: impl Fn(&mut Positions, usize), only: Option<usize>) {
    let Some(kind) = job.stock("rocker").map(|stock| stock.goes_to().to_owned()) else { return };
    for positions in job.positions.iter_mut().filter(|positions| positions.kind == kind) {
        for row in 0..positions.len() {
            if only.is_none_or(|only| positions.among_all(row) == only) {
                change(positions, row);
            }
        }
    }
}

fn limit_of(matching: &mut Matching, fit: crate::job::FitName) -> &mut LimitAsked {
    let at = matching.limits.iter().position(|limit| limit.fit == fit).unwrap_or_else(|| {
        let none =
            LimitAsked { fit, min: None, max: None, spread: None, neighbours: None, guard: true, line: matching.line };
        matching.limits.push(none);
        matching.limits.len() - 1
    });
    &mut matching.limits[at]
}
