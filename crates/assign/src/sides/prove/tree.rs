//! Growing a tree that closes a part.

use super::apart;
use super::price::{Priced, Weighed, two_close};
use crate::matching::{Matching, Violator};
use crate::sides::rules::{Part, Rules};
use crate::sides::search::narrowest;
use crate::sides::window::{Halves, halves};
use pairwright_proof::{Held, Item, SidedStep, Slot};

/// Steps of a tree at most.
const MOST_STEPS: usize = 1 << 16;
/// Numbers in all prices of a tree at most.
const MOST_PRICES: usize = 1 << 20;
/// Pairs looked at for a tree at most.
const ROOM: u64 = 200_000_000;
/// Pairs are taken out by prices where that takes at least one in so many.
const WORTH: u64 = 8;

/// The names of the limits, in their order.
#[derive(Clone, Debug)]
pub(super) struct Named {
    pub(super) names: Vec<Held>,
    /// The limit to be beaten.
    pub(super) aim: Option<Held>,
}

pub(super) struct Tree<'a, 't> {
    rules: &'a Rules<'t>,
    names: &'a Named,
    steps: Vec<SidedStep>,
    prices: usize,
    room: u64,
}

/// How a part goes on.
enum Turn {
    Closed,
    Into(Vec<Part>),
    /// Prices say nothing of use.
    Unpriced,
}

impl<'a, 't> Tree<'a, 't> {
    pub(super) fn new(rules: &'a Rules<'t>, names: &'a Named) -> Self {
        Self { rules, names, steps: Vec::new(), prices: 0, room: ROOM }
    }

    /// The steps that show that a part has no choice; `None` if it has one, or they are too many.
    pub(super) fn refute(mut self, part: Part) -> Option<Vec<SidedStep>> {
        let mut open = vec![part];
        while let Some(part) = open.pop() {
            if self.steps.len() > MOST_STEPS || self.prices > MOST_PRICES {
                return None;
            }
            self.room = self.room.checked_sub(pairs(&part) + 1)?;
            let parts = self.close(part)?;
            open.extend(parts.into_iter().rev());
        }
        Some(self.steps)
    }

    /// The parts that have what is left of a part between them, none if it is closed.
    fn close(&mut self, mut part: Part) -> Option<Vec<Part>> {
        if self.rules.sieve(&mut part, None).is_err() {
            return Some(Vec::new());
        }
        if self.rules.limits.iter().any(|limit| apart::is_above(limit, &part.grid)) {
            return Some(Vec::new());
        }
        let mut matching = Matching::empty(&part.grid);
        if let Err(violator) = matching.complete(&part.grid, &part.must) {
            self.steps.push(match violator {
                Violator::Slots { slots, .. } => SidedStep::Slots(slots.iter().map(Slot::new).collect()),
                Violator::Items { items, .. } => SidedStep::Items(items.iter().map(Item::new).collect()),
            });
            return Some(Vec::new());
        }
        if self.rules.are_kept_by(&matching.choice()) {
            return None;
        }
        match self.by_prices(&part)? {
            Turn::Closed => Some(Vec::new()),
            Turn::Into(parts) => Some(parts),
            Turn::Unpriced => self.divide(&part),
        }
    }

    /// Closes a part by prices, or takes pairs out if that takes enough.
    fn by_prices(&mut self, part: &Part) -> Option<Turn> {
        let limits = self.rules.limits.iter().enumerate();
        let priced: Vec<Priced<'t>> = limits.filter_map(|(at, limit)| Priced::of(at, limit, part)).collect();
        if let Some(closing) = priced.iter().find(|priced| priced.closes()) {
            self.push(closing.weighed(part)?);
            return Some(Turn::Closed);
        }
        if priced.iter().any(|priced| self.rules.are_kept_by(&priced.assigned.choice)) {
            return None;
        }
        for (at, other) in priced.iter().enumerate() {
            if let Some(weighed) = priced[..at].iter().find_map(|one| two_close(one, other, part)) {
                self.push(weighed);
                return Some(Turn::Closed);
            }
        }
        let before = pairs(part);
        for priced in &priced {
            let sieved = priced.sieved(part);
            let dropped = before - pairs(&sieved);
            if dropped > 0
                && dropped * WORTH >= before
                && let Some(weighed) = priced.weighed(part)
            {
                self.push(weighed);
                return Some(Turn::Into(vec![sieved]));
            }
        }
        Some(Turn::Unpriced)
    }

    fn push(&mut self, Weighed { of, prices }: Weighed) {
        self.prices += prices.slots.len() + prices.items.len();
        let mut of: Vec<(Held, i128)> = of.into_iter().map(|(at, weight)| (self.names.names[at], weight)).collect();
        of.sort_unstable();
        self.steps.push(SidedStep::Prices { of, prices });
    }

    /// By where the values of a window lie while that is wide open, by the items of the narrowest slot then; `None` if
    /// every slot has one item: a choice.
    fn divide(&mut self, part: &Part) -> Option<Vec<Part>> {
        let slots = part.grid.slot_count();
        for (limit, &of) in self.rules.limits.iter().zip(&self.names.names) {
            let Some(width) = limit.width(slots) else { continue };
            let is_spread = matches!(limit.criterion.measure, pairwright_proof::Measure::Spread);
            // Windows of the aim are mostly closed by a competing set each; others have most choices in common.
            let times = if self.names.aim == Some(of) && is_spread { 1 } else { 2 };
            if let Some(Halves { at, below, above }) = halves(limit.criterion.table, width, times, part) {
                self.steps.push(SidedStep::Halve { of, at: i64::try_from(at).ok()? });
                return Some(vec![below, above]);
            }
        }
        let slot = narrowest(part)?;
        self.steps.push(SidedStep::Split(slot));
        let with = |item: Item| {
            let mut with = part.clone();
            with.grid.force(slot, item);
            with
        };
        Some(part.grid.items_of(slot).map(with).collect())
    }
}

fn pairs(part: &Part) -> u64 {
    part.grid.slots().flat_map(|slot| part.grid.row(slot)).map(|word| u64::from(word.count_ones())).sum()
}
