//! Closes one window, item by item of either kind.

use super::NoProof;
use super::cover::cover;
use super::scope::Scope;
use crate::joint::budget::Stop;
use crate::joint::ground::{Ground, Triple};
use crate::joint::meter::Meter;
use pairwright_proof::{Item, JointProof, Outer, Side, Slot, Step};
use std::collections::{BTreeMap, BTreeSet};

pub(super) struct Tree<'t, 'b> {
    ground: &'t Ground<'t>,
    outer: Outer,
    total: Option<i128>,
    /// Of totals and squares.
    scope: Option<Scope>,
    meter: &'t mut Meter<'b>,
    pub(super) steps: Vec<Step>,
}

/// For every slot, or item of the other kind, the items of a kind open to it.
pub(super) type Open = Vec<BTreeSet<u16>>;

fn item(triple: &Triple, side: Side) -> u16 {
    match side {
        Side::First => triple.first,
        Side::Second => triple.second,
    }
}

impl<'t, 'b> Tree<'t, 'b> {
    pub(super) fn new(ground: &'t Ground<'t>, outer: Outer, total: Option<i128>, meter: &'t mut Meter<'b>) -> Self {
        Self { ground, outer, total, scope: None, meter, steps: Vec::new() }
    }

    /// A tree about what is within a scope instead of a window.
    pub(super) fn within(ground: &'t Ground<'t>, outer: Outer, scope: Scope, meter: &'t mut Meter<'b>) -> Self {
        Self { scope: Some(scope), ..Self::new(ground, outer, None, meter) }
    }

    fn spend(&mut self) -> Result<(), NoProof> {
        if self.meter.spend() {
            return Ok(());
        }
        Err(NoProof::Stopped(self.meter.stopped().unwrap_or(Stop::Nodes)))
    }

    /// The step that closes these triples, by ascending value, without dividing them, if costs and sums do, or a slot is empty.
    pub(super) fn at_once(&mut self, triples: &[Triple]) -> Result<Option<Step>, NoProof> {
        self.spend()?;
        let settled = self.settled(triples);
        let triples = settled.as_deref().unwrap_or(triples);
        let empty = self.open(triples, Side::First).iter().position(BTreeSet::is_empty);
        let empty = empty.and_then(|slot| u32::try_from(slot).ok()).map(Slot::new);
        Ok(empty
            .map_or_else(|| self.beyond(triples), |slot| Some(Step::Short { side: Side::First, slots: vec![slot] })))
    }

    /// Writes the steps that show that these triples, by ascending value, hold no choice. At most two levels a slot.
    pub(super) fn close(&mut self, triples: &[Triple]) -> Result<(), NoProof> {
        self.spend()?;
        if self.steps.len() >= JointProof::MOST_STEPS {
            return Err(NoProof::Long);
        }
        let settled = self.settled(triples);
        let triples = settled.as_deref().unwrap_or(triples);
        let sides = [Side::First, Side::Second];
        let open = sides.map(|side| self.open(triples, side));
        for (side, open) in sides.into_iter().zip(&open) {
            if let Some(slots) = violator(open, self.items(side)) {
                self.steps.push(Step::Short { side, slots });
                return Ok(());
            }
        }
        if let Some(step) = self.beyond(triples) {
            self.steps.push(step);
            return Ok(());
        }
        if let Some(step) = cover(triples, self.ground.slots, sides.map(|side| self.items(side))) {
            self.steps.push(step);
            return Ok(());
        }
        let unplaced = self.ground.brought_in.filter(|used| !open[0].iter().any(|items| has(items, *used)));
        if let Some(item) = unplaced {
            // There is no slot to go on with.
            self.steps.push(Step::Seat { side: Side::First, item });
            return Ok(());
        }
        let splits = sides.into_iter().zip(&open).filter_map(|(side, open)| split(side, open));
        let seats =
            sides.into_iter().zip(&open).filter_map(|(side, open)| seat(side, open, |item| self.is_used(side, item)));
        // Every slot is left with one item of each kind, and they match: a choice inside the window.
        let (_, step) = splits.chain(seats).min_by_key(|&(ways, _)| ways).ok_or(NoProof::NotBest)?;
        self.steps.push(step.clone());
        match step {
            Step::Split { slot, side } => {
                let ways = &open[usize::from(side == Side::Second)][slot.index()];
                ways.iter().try_for_each(|&chosen| self.close(&placed(triples, slot.index(), side, chosen)))
            }
            Step::Seat { side, item: seated } => {
                let open = &open[usize::from(side == Side::Second)];
                let seated = u16::try_from(seated.number()).unwrap_or(u16::MAX);
                let ways = (0..open.len()).filter(|&slot| open[slot].contains(&seated));
                ways.map(|slot| placed(triples, slot, side, seated)).try_for_each(|rest| self.close(&rest))
            }
            Step::Short { .. } | Step::Cover { .. } | Step::Total | Step::Costs => Ok(()),
        }
    }

    /// What is left once the scope and the slots with a single triple have driven out what they can, in turns; `None` where
    /// there is nothing that could.
    fn settled(&self, triples: &[Triple]) -> Option<Vec<Triple>> {
        let Some(scope) = &self.scope else { return self.driven_out(triples) };
        let mut triples = triples.to_vec();
        loop {
            let before = triples.len();
            scope.keep_within(&mut triples, self.ground.slots);
            triples = self.driven_out(&triples).unwrap_or(triples);
            if triples.len() == before {
                return Some(triples);
            }
        }
    }

    /// What is left once every slot with a single triple has driven out what cannot stand beside it, in the order in
    /// which the checker does the same; `None` where all may stand together.
    fn driven_out(&self, triples: &[Triple]) -> Option<Vec<Triple>> {
        let statement = self.ground.statement;
        statement.beside?;
        let mut triples = triples.to_vec();
        let mut done = vec![false; self.ground.slots];
        loop {
            let mut changed = false;
            for (slot, done) in done.iter_mut().enumerate() {
                let mut own = triples.iter().filter(|triple| usize::from(triple.slot) == slot);
                let (Some(&single), None) = (own.next(), own.next()) else { continue };
                if !std::mem::replace(done, true) {
                    changed = true;
                    let may = |other: &Triple| statement.may_stand(self.outer, single.filled(), other.filled());
                    triples.retain(|other| usize::from(other.slot) == slot || may(other));
                }
            }
            if !changed {
                return Some(triples);
            }
        }
    }

    fn items(&self, side: Side) -> usize {
        match side {
            Side::First => self.ground.firsts,
            Side::Second => self.ground.seconds,
        }
    }

    /// Whether an item has to be used: by itself, or as all of its kind are.
    fn is_used(&self, side: Side, item: u16) -> bool {
        let is_asked_for = side == Side::First && self.ground.brought_in == Some(Item::new(u32::from(item)));
        is_asked_for || self.items(side) == self.ground.slots
    }

    fn open(&self, triples: &[Triple], side: Side) -> Open {
        let mut open = vec![BTreeSet::new(); self.ground.slots];
        for triple in triples {
            open[usize::from(triple.slot)].insert(item(triple, side));
        }
        open
    }

    /// What closes triples of which every slot has some by their sums alone.
    fn beyond(&self, triples: &[Triple]) -> Option<Step> {
        let Some(scope) = &self.scope else {
            return self.misses_total(triples).then_some(Step::Total);
        };
        let bounds = scope.bounds(triples, self.ground.slots)?;
        if scope.misses(&bounds) {
            return Some(Step::Total);
        }
        (scope.spare(&bounds) < 0).then_some(Step::Costs)
    }

    fn misses_total(&self, triples: &[Triple]) -> bool {
        let Some(total) = self.total else {
            return false;
        };
        let mut ends: Vec<Option<(i64, i64)>> = vec![None; self.ground.slots];
        for triple in triples {
            ends[usize::from(triple.slot)].get_or_insert((triple.value, triple.value)).1 = triple.value;
        }
        let sum = |end: fn(&(i64, i64)) -> i64| ends.iter().flatten().map(|ends| i128::from(end(ends))).sum::<i128>();
        sum(|ends| ends.0) > total || sum(|ends| ends.1) < total
    }
}

/// The slot with the fewest items that is not settled.
fn split(side: Side, open: &Open) -> Option<(usize, Step)> {
    let unsettled = (0..).zip(open).map(|(slot, items)| (items.len(), slot)).filter(|&(ways, _)| ways > 1);
    let (ways, slot) = unsettled.min()?;
    Some((ways, Step::Split { slot: Slot::new(slot), side }))
}

fn has(items: &BTreeSet<u16>, item: Item) -> bool {
    u16::try_from(item.number()).is_ok_and(|item| items.contains(&item))
}

/// The item with the fewest slots that has to be used and is not settled.
fn seat(side: Side, open: &Open, is_used: impl Fn(u16) -> bool) -> Option<(usize, Step)> {
    let mut ways: BTreeMap<u16, usize> = BTreeMap::new();
    for &item in open.iter().flatten().filter(|&&item| is_used(item)) {
        *ways.entry(item).or_insert(0) += 1;
    }
    let unsettled = ways.into_iter().map(|(item, ways)| (ways, item)).filter(|&(ways, _)| ways > 1);
    let (ways, item) = unsettled.min()?;
    Some((ways, Step::Seat { side, item: Item::new(u32::from(item)) }))
}

/// What is open once the item is in the slot.
fn placed(triples: &[Triple], slot: usize, side: Side, chosen: u16) -> Vec<Triple> {
    let stays = |triple: &&Triple| (usize::from(triple.slot) == slot) == (item(triple, side) == chosen);
    triples.iter().filter(stays).copied().collect()
}

/// Slots that have fewer items between them than they are, if there are such; by augmenting paths.
fn violator(open: &Open, items: usize) -> Option<Vec<Slot>> {
    let mut slot_of = vec![None; items];
    for slot in 0..open.len() {
        let mut seen = BTreeSet::new();
        if !augment(slot, open, &mut slot_of, &mut seen) {
            let reached = seen.iter().filter_map(|&item| slot_of[usize::from(item)]).chain([slot]);
            let mut slots: Vec<usize> = reached.collect();
            slots.sort_unstable();
            return Some(slots.into_iter().filter_map(|slot| u32::try_from(slot).ok().map(Slot::new)).collect());
        }
    }
    None
}

/// Finds an item for a slot, or for an item of the other kind, those that others hold being exchanged along a path.
pub(super) fn augment(slot: usize, open: &Open, slot_of: &mut [Option<usize>], seen: &mut BTreeSet<u16>) -> bool {
    for &item in &open[slot] {
        if seen.insert(item) {
            let holder = slot_of[usize::from(item)];
            if holder.is_none_or(|holder| augment(holder, open, slot_of, seen)) {
                slot_of[usize::from(item)] = Some(slot);
                return true;
            }
        }
    }
    false
}
