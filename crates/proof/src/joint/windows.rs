//! The triples of an outer choice, and those still open at a node of a proof.

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

/// Triples open at a node, by ascending value.
#[derive(Clone, Debug)]
pub(super) struct Open(Vec<Triple>);

impl Open {
    /// What is left once every slot with a single open triple has driven out what cannot stand beside it: slots
    /// ascending, again and again until nothing changes.
    pub(super) fn settled(mut self, statement: &JointStatement<'_>, outer: Outer) -> Self {
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

    /// Whether the smallest values of all slots exceed a total, or the largest do not reach it.
    pub(super) fn misses(&self, total: i128, slots: usize) -> bool {
        let mut ends: Vec<Option<(i64, i64)>> = vec![None; slots];
        for triple in &self.0 {
            let end = ends[triple.slot.index()].get_or_insert((triple.value, triple.value));
            end.1 = triple.value;
        }
        let (low, high) =
            ends.iter().flatten().fold((0, 0), |(low, high), end| (low + i128::from(end.0), high + i128::from(end.1)));
        // A slot without triples closes the node by itself.
        ends.contains(&None) || low > total || high < total
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
