//! Branch and bound over parts: is there a choice that keeps the rules, and which is the best one?

use super::rules::{Limit, Part, Rules};
use super::settle::Settled;
use super::window::{Halves, halves};
use crate::best::score;
use crate::effort::Effort;
use pairwright_proof::{Criterion, Item, Measure, Slot};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Whether there is a choice that keeps the rules.
#[derive(Debug)]
pub(crate) enum Decision {
    Yes(Vec<Item>),
    No,
    /// The effort was spent before either was known.
    Unknown,
}

/// The best that was found.
#[derive(Debug)]
pub(crate) struct Found {
    /// The best choice met and its score.
    pub(crate) best: Option<(i128, Vec<Item>)>,
    /// No choice scores less; `None` if the search came to its end: the best one met is the best there is.
    pub(crate) open: Option<i128>,
}

/// Looks for a choice, depth first, the slot with the fewest items left first.
pub(crate) fn decide(rules: &Rules<'_>, part: Part, effort: &Effort<'_>) -> Decision {
    let mut open = vec![part];
    while let Some(mut part) = open.pop() {
        if !effort.watch().goes_on() {
            return Decision::Unknown;
        }
        let Ok(Settled { near, .. }) = rules.settle(&mut part, None) else {
            continue;
        };
        if let Some(choice) = near.iter().find(|choice| rules.are_kept_by(choice)) {
            return Decision::Yes(choice.clone());
        }
        if narrowest(&part).is_none() {
            continue;
        }
        if !effort.spend() {
            return Decision::Unknown;
        }
        open.extend(children(rules, None, &part, &near).into_iter().rev());
    }
    Decision::No
}

/// The least score of a criterion, starting from the best choice known so far.
pub(crate) fn minimise(
    rules: &Rules<'_>,
    criterion: &Criterion<'_>,
    part: Part,
    best: Option<(i128, Vec<Item>)>,
    effort: &Effort<'_>,
) -> Found {
    let mut search = Minimum { rules, criterion, best, open: BTreeMap::new(), met: 0 };
    search.look(part);
    while let Some(((bound, _), open)) = search.open.pop_first() {
        if search.is_settled(bound) {
            break;
        }
        if !effort.spend() {
            return Found { best: search.best, open: Some(bound) };
        }
        for child in children(rules, Some(&search.aim()), &open.part, &open.near) {
            search.look(child);
        }
    }
    Found { best: search.best, open: None }
}

struct Minimum<'a, 't> {
    rules: &'a Rules<'t>,
    criterion: &'a Criterion<'t>,
    best: Option<(i128, Vec<Item>)>,
    /// Parts not yet divided, by bound, the latest first among equals.
    open: BTreeMap<(i128, Reverse<u64>), Open>,
    met: u64,
}

struct Open {
    part: Part,
    near: Vec<Vec<Item>>,
}

impl<'t> Minimum<'_, 't> {
    fn is_settled(&self, bound: i128) -> bool {
        self.best.as_ref().is_some_and(|&(score, _)| bound >= score)
    }

    /// What a choice has to score to be better than the best one met.
    fn aim(&self) -> Limit<'t> {
        let most = self.best.as_ref().map_or(i128::MAX, |(score, _)| score.saturating_sub(1));
        Limit { criterion: *self.criterion, most }
    }

    /// Sieves and bounds a part, learns from the choices met on the way, and keeps it if it may hold better ones.
    fn look(&mut self, mut part: Part) {
        let Ok(Settled { near, bound }) = self.rules.settle(&mut part, Some(&self.aim())) else {
            return;
        };
        for choice in &near {
            self.learn(choice);
        }
        if !self.is_settled(bound) && narrowest(&part).is_some() {
            self.met += 1;
            self.open.insert((bound, Reverse(self.met)), Open { part, near });
        }
    }

    fn learn(&mut self, choice: &[Item]) {
        let Some(score) = score(self.criterion, choice).filter(|&score| !self.is_settled(score)) else {
            return;
        };
        if self.rules.are_kept_by(choice) {
            self.best = Some((score, choice.to_vec()));
        }
    }
}

/// The slot with the fewest items left, but more than one; `None` if every slot has one.
pub(crate) fn narrowest(part: &Part) -> Option<Slot> {
    let left = |slot: Slot| part.grid.row(slot).iter().map(|word| word.count_ones()).sum::<u32>();
    part.grid.slots().map(|slot| (left(slot), slot)).filter(|&(left, _)| left > 1).min().map(|(_, slot)| slot)
}

/// How many items of a slot are tried one by one; the others stay together in one more part.
const TRIED: usize = 8;

/// Parts that have the choices of this one between them: by where the values of a window lie while that is wide open,
/// by the items of the narrowest slot then.
fn children(rules: &Rules<'_>, aim: Option<&Limit<'_>>, part: &Part, near: &[Vec<Item>]) -> Vec<Part> {
    let slots = part.grid.slot_count();
    for limit in rules.limits.iter().chain(aim) {
        let Some(width) = limit.width(slots) else { continue };
        // Windows that lie close together have most of their choices in common: where a question has to be asked of each of
        // them it is better asked once.
        let times = if aim.is_some() && limit.criterion.measure == Measure::Spread { 1 } else { 2 };
        if let Some(Halves { below, above, .. }) = halves(limit.criterion.table, width, times, part) {
            return vec![below, above];
        }
    }
    narrowest(part).map_or_else(Vec::new, |slot| by_items(part, slot, near))
}

/// A part for each item of a slot, those of choices that come near to keeping the rules first.
fn by_items(part: &Part, slot: Slot, near: &[Vec<Item>]) -> Vec<Part> {
    let mut order: Vec<Item> = Vec::new();
    let nearest = near.iter().map(|choice| choice[slot.index()]).filter(|&item| part.grid.has(slot, item));
    for item in nearest.chain(part.grid.items_of(slot)) {
        if !order.contains(&item) && order.len() < TRIED {
            order.push(item);
        }
    }
    let with = |&item: &Item| {
        let mut with = part.clone();
        with.grid.force(slot, item);
        with
    };
    let mut children: Vec<Part> = order.iter().map(with).collect();
    let mut rest = part.clone();
    for &item in &order {
        rest.grid.clear(slot, item);
    }
    if rest.grid.items_of(slot).next().is_some() {
        children.push(rest);
    }
    children
}
