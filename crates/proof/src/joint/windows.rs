//! The triples of an outer choice, and those still open at a node of a proof.

use super::scope::Scope;
use crate::{Couple, Filled, Item, JointStatement, Outer, Scale, Segment, Side, Slot, Table};
use std::collections::BTreeSet;

#[derive(Clone, Copy, Debug)]
struct Triple {
    value: i64,
    slot: Slot,
    items: Couple,
}

impl Triple {
    fn filled(self) -> Filled {
        Filled { slot: self.slot, items: self.items }
    }

    fn item(self, side: Side) -> Item {
        match side {
            Side::First => self.items.first,
            Side::Second => self.items.second,
        }
    }
}

/// All triples of an outer choice by ascending value.
#[derive(Debug)]
pub(super) struct Field {
    triples: Vec<Triple>,
    /// What the values of every complete choice add up to, if that is the same for all.
    pub(super) total: Option<i128>,
}

impl Field {
    /// `None` if the scale gives a value too large to calculate with.
    pub(super) fn of(statement: &JointStatement<'_>, outer: Outer) -> Option<Self> {
        let barred: BTreeSet<Couple> = statement.barred.iter().copied().collect();
        let mut triples = Vec::new();
        for slot in statement.first.slots() {
            for first in statement.first.items() {
                for second in statement.second.items() {
                    let items = Couple { first, second };
                    let value = statement.value(outer, slot, items).filter(|_| !barred.contains(&items));
                    let Some(value) = value else { continue };
                    if !(-JointStatement::LIMIT..=JointStatement::LIMIT).contains(&value) {
                        return None;
                    }
                    triples.push(Triple { value, slot, items });
                }
            }
        }
        triples.sort_by_key(|triple| triple.value);
        Some(Self { triples, total: total(statement, outer) })
    }

    /// A value that no segment covers; segments have to ascend.
    pub(super) fn uncovered(&self, segments: &[Segment]) -> Option<i64> {
        let mut rest = segments.iter().peekable();
        let mut covered = |triple: &&Triple| {
            while rest.next_if(|segment| segment.to < triple.value).is_some() {}
            rest.peek().is_some_and(|segment| segment.from <= triple.value)
        };
        self.triples.iter().find(|triple| !covered(triple)).map(|triple| triple.value)
    }

    /// A sum of the values of a choice that no segment covers; segments have to ascend.
    pub(super) fn uncovered_sum(&self, segments: &[Segment], slots: usize) -> Option<i64> {
        // Without a triple of some slot there is no choice.
        let ends = Ends::of(&self.triples, slots)?;
        let mut next = ends.low;
        for segment in segments {
            if i128::from(segment.from) > next {
                break;
            }
            next = next.max(i128::from(segment.to) + 1);
        }
        (next <= ends.high).then(|| i64::try_from(next).unwrap_or(i64::MAX))
    }

    pub(super) fn window(&self, low: i64, high: i64) -> Open {
        let start = self.triples.partition_point(|triple| triple.value < low);
        let end = self.triples.partition_point(|triple| triple.value <= high);
        Open(self.triples.get(start..end).unwrap_or_default().to_vec())
    }
}

/// Known where values are sums, no pair is forbidden, every item is used, and rows of both tables differ by one number.
fn total(statement: &JointStatement<'_>, outer: Outer) -> Option<i128> {
    let of = |table: &Table| {
        let top = table.row(Slot::new(0));
        let mut total: i128 = top.iter().map(|&value| i128::from(value)).sum();
        for slot in table.slots() {
            let row = table.row(slot);
            if row.contains(&Table::FORBIDDEN) || table.shape().items != table.shape().slots {
                return None;
            }
            let lift = row.first()? - top.first()?;
            if row.iter().zip(top).any(|(value, above)| value - above != lift) {
                return None;
            }
            total += i128::from(lift);
        }
        Some(total)
    };
    if !matches!(statement.scale, Scale::Sum) {
        return None;
    }
    let offsets: i128 = statement.offsets[outer.index()].iter().map(|&offset| i128::from(offset)).sum();
    Some(of(statement.first)? + of(statement.second)? + offsets)
}

/// Sums of the smallest and of the largest values of all slots, and those values.
#[derive(Debug)]
pub(super) struct Ends {
    of_slots: Vec<(i64, i64)>,
    pub(super) low: i128,
    pub(super) high: i128,
}

impl Ends {
    /// Of triples by ascending value; `None` if a slot has none.
    fn of(triples: &[Triple], slots: usize) -> Option<Self> {
        let mut ends: Vec<Option<(i64, i64)>> = vec![None; slots];
        for triple in triples {
            ends[triple.slot.index()].get_or_insert((triple.value, triple.value)).1 = triple.value;
        }
        let of_slots: Vec<(i64, i64)> = ends.into_iter().collect::<Option<_>>()?;
        let sum = |end: fn(&(i64, i64)) -> i64| of_slots.iter().map(|ends| i128::from(end(ends))).sum();
        let (low, high) = (sum(|ends| ends.0), sum(|ends| ends.1));
        Some(Self { of_slots, low, high })
    }
}

/// Triples open at a node, by ascending value.
#[derive(Clone, Debug)]
pub(super) struct Open(Vec<Triple>);

impl Open {
    /// What is left once triples out of a scope are out and every slot with a single open triple has driven out what
    /// cannot stand beside it, in turns until nothing changes.
    pub(super) fn settled(mut self, statement: &JointStatement<'_>, outer: Outer, scope: Option<&Scope>) -> Self {
        loop {
            let before = self.0.len();
            if let Some(scope) = scope {
                self.keep_within(scope, statement.slots());
            }
            self = self.driven_out(statement, outer);
            if scope.is_none() || self.0.len() == before {
                return self;
            }
        }
    }

    /// Slots ascending, again and again until nothing changes.
    fn driven_out(mut self, statement: &JointStatement<'_>, outer: Outer) -> Self {
        if statement.beside.is_none() {
            return self;
        }
        let mut done = BTreeSet::new();
        loop {
            let before = done.len();
            for slot in statement.first.slots() {
                let mut own = self.0.iter().filter(|triple| triple.slot == slot);
                let (Some(&single), None) = (own.next(), own.next()) else { continue };
                if done.insert(slot) {
                    let may = |other: &Triple| statement.may_stand(outer, single.filled(), other.filled());
                    self.0.retain(|other| other.slot == slot || may(other));
                }
            }
            if done.len() == before {
                return self;
            }
        }
    }

    pub(super) fn is_short(&self, side: Side, slots: &[Slot]) -> bool {
        let slots: BTreeSet<Slot> = slots.iter().copied().collect();
        let own = self.0.iter().filter(|triple| slots.contains(&triple.slot));
        own.map(|triple| triple.item(side)).collect::<BTreeSet<Item>>().len() < slots.len()
    }

    /// Whether every triple has one of these items, which are fewer than the slots.
    pub(super) fn is_covered(&self, first: &[Item], second: &[Item], slots: usize) -> bool {
        let [first, second] = [first, second].map(|items| items.iter().copied().collect::<BTreeSet<Item>>());
        let is_hit = |triple: &Triple| first.contains(&triple.items.first) || second.contains(&triple.items.second);
        first.len() + second.len() < slots && self.0.iter().all(is_hit)
    }

    /// Drops triples that cost too much, or whose values lead to too large or too small a sum, even if all other slots take
    /// what is best for them; leaves everything where nothing is within the scope, so that a step says so.
    fn keep_within(&mut self, scope: &Scope, slots: usize) {
        let Some((ends, least)) = Ends::of(&self.0, slots).zip(self.least_costs(scope, slots)) else {
            return;
        };
        let spare = scope.most(&ends).saturating_sub(sum(&least));
        if spare < 0 || ends.low > scope.high || ends.high < scope.low {
            return;
        }
        self.0.retain(|triple| {
            let slot = triple.slot.index();
            let (low, high) = ends.of_slots[slot];
            scope.cost(triple.value).saturating_sub(least[slot]) <= spare
                && ends.low + i128::from(triple.value) - i128::from(low) <= scope.high
                && ends.high + i128::from(triple.value) - i128::from(high) >= scope.low
        });
    }

    /// The least cost of every slot; `None` if one has no triple.
    fn least_costs(&self, scope: &Scope, slots: usize) -> Option<Vec<i128>> {
        let mut least = vec![None; slots];
        for triple in &self.0 {
            let cost = scope.cost(triple.value);
            let least = least[triple.slot.index()].get_or_insert(cost);
            *least = cost.min(*least);
        }
        least.into_iter().collect()
    }

    /// Whether the least costs of all slots come to more than a scope lets through.
    pub(super) fn exceeds(&self, scope: &Scope, slots: usize) -> bool {
        let bound = Ends::of(&self.0, slots).zip(self.least_costs(scope, slots));
        // A slot without triples closes the node by itself.
        bound.is_none_or(|(ends, least)| sum(&least) > scope.most(&ends))
    }

    /// Whether the sum of all values cannot lie between two numbers.
    pub(super) fn misses(&self, (low, high): (i128, i128), slots: usize) -> bool {
        // A slot without triples closes the node by itself.
        Ends::of(&self.0, slots).is_none_or(|ends| low > high || ends.low > high || ends.high < low)
    }

    pub(super) fn split(&self, slot: Slot, side: Side) -> Vec<Self> {
        let own = self.0.iter().filter(|triple| triple.slot == slot);
        let items: BTreeSet<Item> = own.map(|triple| triple.item(side)).collect();
        items.into_iter().map(|item| self.placed(slot, side, item)).collect()
    }

    pub(super) fn seat(&self, side: Side, item: Item) -> Vec<Self> {
        let own = self.0.iter().filter(|triple| triple.item(side) == item);
        let slots: BTreeSet<Slot> = own.map(|triple| triple.slot).collect();
        slots.into_iter().map(|slot| self.placed(slot, side, item)).collect()
    }

    /// What is open once the item is in the slot.
    fn placed(&self, slot: Slot, side: Side, item: Item) -> Self {
        let stays = |triple: &&Triple| (triple.slot == slot) == (triple.item(side) == item);
        Self(self.0.iter().filter(stays).copied().collect())
    }
}

fn sum(costs: &[i128]) -> i128 {
    costs.iter().fold(0, |sum, &cost| sum.saturating_add(cost))
}
