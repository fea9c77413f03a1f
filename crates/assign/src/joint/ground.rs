//! What all windows of a joint problem share.

use super::alike::{Alike, barred_lists};
use super::limits::SumLimit;
use super::problem::{JointAim, JointError, JointProblem};
use super::total;
use pairwright_proof::{Couple, Filled, Item, JointStatement, Outer, Scale, Slot, Table};
use std::collections::BTreeSet;

/// A slot, an item of each kind, and what they are worth under some outer choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Triple {
    pub(crate) value: i64,
    pub(crate) slot: u16,
    pub(crate) first: u16,
    pub(crate) second: u16,
}

/// An allowed triple without offset and scale.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Base {
    pub(crate) sum: i64,
    pub(crate) first: u16,
    pub(crate) second: u16,
}

impl Triple {
    pub(crate) fn filled(self) -> Filled {
        let item = |number: u16| Item::new(u32::from(number));
        let items = Couple { first: item(self.first), second: item(self.second) };
        Filled { slot: Slot::new(u32::from(self.slot)), items }
    }
}

impl Base {
    fn items(self) -> Couple {
        let item = |number: u16| Item::new(u32::from(number));
        Couple { first: item(self.first), second: item(self.second) }
    }
}

#[derive(Debug)]
pub(crate) struct Ground<'p> {
    pub(crate) statement: &'p JointStatement<'p>,
    pub(crate) slots: usize,
    pub(crate) firsts: usize,
    pub(crate) seconds: usize,
    /// For every slot its triples by ascending sum.
    pub(crate) bases: Vec<Vec<Base>>,
    pub(crate) alike: [Alike; 2],
    /// For every item of the first kind what it must not meet.
    barred: Vec<Vec<Item>>,
    /// The sum over all slots of every complete choice without offsets, if it is the same for all.
    total: Option<i128>,
    /// The outer choices that differ in substance; of equal ones the first.
    pub(crate) outers: Vec<Outer>,
    /// An item of the first kind that has to be used.
    pub(crate) brought_in: Option<Item>,
    /// What choices have to keep to besides.
    pub(crate) limits: &'p [SumLimit<'p>],
}

impl<'p> Ground<'p> {
    pub(crate) fn new(problem: &'p JointProblem<'_>) -> Self {
        let statement = problem.statement();
        let (first, second) = (statement.first, statement.second);
        let (firsts, seconds) = (first.shape().items, second.shape().items);
        let [barred, barred_seconds] = barred_lists(statement.barred, firsts, seconds);
        Self {
            statement,
            slots: statement.slots(),
            firsts,
            seconds,
            bases: first.slots().map(|slot| bases(statement, slot, &barred)).collect(),
            alike: if tells_apart(statement) || problem.brought_in().is_some() || !problem.limits().is_empty() {
                [Alike::none(firsts), Alike::none(seconds)]
            } else {
                [Alike::of(first, &barred), Alike::of(second, &barred_seconds)]
            },
            total: total::fixed(first).zip(total::fixed(second)).map(|(first, second)| first + second),
            outers: distinct(problem),
            brought_in: problem.brought_in(),
            limits: problem.limits(),
            barred,
        }
    }

    /// Number of triples, the same under every outer choice unless the scale forbids some.
    pub(crate) fn size(&self) -> usize {
        self.bases.iter().map(Vec::len).sum()
    }

    /// The sum over all slots of every complete choice, if it is the same for all.
    pub(crate) fn total(&self, outer: Outer) -> Option<i128> {
        let offsets = self.statement.offsets[outer.index()].iter().map(|&offset| i128::from(offset));
        self.total.map(|total| total + offsets.sum::<i128>())
    }

    /// The sum of an allowed triple.
    pub(crate) fn sum(&self, outer: Outer, triple: Triple) -> i64 {
        let slot = usize::from(triple.slot);
        let row = |table: &Table, item: u16| table.row(Slot::new(u32::from(triple.slot)))[usize::from(item)];
        row(self.statement.first, triple.first)
            + row(self.statement.second, triple.second)
            + self.statement.offsets[outer.index()][slot]
    }

    /// The value of a triple; `None` if it is not allowed.
    pub(crate) fn value(&self, outer: Outer, slot: usize, first: u32, second: u32) -> Option<i64> {
        let slot = Slot::new(u32::try_from(slot).ok()?);
        let items = Couple { first: Item::new(first), second: Item::new(second) };
        let barred = self.barred[items.first.index()].binary_search(&items.second).is_ok();
        if barred { None } else { self.statement.value(outer, slot, items) }
    }

    /// The value of an allowed pair of items whose sum is known.
    fn scaled(&self, outer: Outer, slot: Slot, base: Base, sum: i64) -> Option<i64> {
        match self.statement.scale {
            Scale::Sum => Some(sum),
            Scale::Map(map) => map(slot, sum),
            Scale::Free(free) => free(outer, slot, base.items()),
        }
    }

    /// All triples of an outer choice by slot, then along the sums; every slot's values are sorted already where the
    /// scale is monotone.
    pub(crate) fn triples(&self, outer: Outer) -> Result<Vec<Triple>, JointError> {
        let mut triples = Vec::with_capacity(self.size());
        for (slot, bases) in (0_u16..).zip(&self.bases) {
            let offset = self.statement.offsets[outer.index()][usize::from(slot)];
            let place = Slot::new(u32::from(slot));
            let start = triples.len();
            for base in bases {
                let Some(value) = self.scaled(outer, place, *base, base.sum + offset) else {
                    continue;
                };
                if !(-JointStatement::LIMIT..=JointStatement::LIMIT).contains(&value) {
                    return Err(JointError::Magnitude { slot: place, items: base.items(), value });
                }
                triples.push(Triple { value, slot, first: base.first, second: base.second });
            }
            let run: &mut [Triple] = &mut triples[start..];
            if run.first().zip(run.last()).is_some_and(|(first, last)| first.value > last.value) {
                run.reverse();
            }
        }
        Ok(triples)
    }
}

/// The allowed triples of a slot by ascending sum: for every item of the first kind a run along the sorted items of
/// the second, so that the sort only merges.
fn bases(statement: &JointStatement<'_>, slot: Slot, barred: &[Vec<Item>]) -> Vec<Base> {
    let of = |table: &Table| -> Vec<(i64, u16)> {
        let pairs = (0_u16..=u16::MAX).zip(table.row(slot)).map(|(item, &value)| (value, item));
        let mut pairs: Vec<_> = pairs.filter(|&(value, _)| value != Table::FORBIDDEN).collect();
        pairs.sort_unstable();
        pairs
    };
    let (firsts, seconds) = (of(statement.first), of(statement.second));
    let mut bases = Vec::with_capacity(firsts.len() * seconds.len());
    for &(a, first) in &firsts {
        let barred = &barred[usize::from(first)];
        let meets = |second: u16| barred.binary_search(&Item::new(u32::from(second))).is_err();
        let run = seconds.iter().filter(|&&(_, second)| barred.is_empty() || meets(second));
        bases.extend(run.map(|&(b, second)| Base { sum: a + b, first, second }));
    }
    bases.sort_by_key(|base| base.sum);
    bases
}

/// Whether items and outer choices are told apart by more than tables and offsets say.
fn tells_apart(statement: &JointStatement<'_>) -> bool {
    matches!(statement.scale, Scale::Free(_)) || statement.beside.is_some()
}

fn distinct(problem: &JointProblem<'_>) -> Vec<Outer> {
    let statement = problem.statement();
    let no_matter =
        matches!(statement.scale, Scale::Sum) && matches!(problem.aim(), JointAim::Spread | JointAim::SquaresAboutMean);
    if tells_apart(statement) || !problem.limits().is_empty() {
        return (0..).map(Outer::new).take(statement.offsets.len()).collect();
    }
    let mut seen = BTreeSet::new();
    let mut new = |offsets: &Vec<i64>| {
        let from = if no_matter { offsets.first().copied().unwrap_or(0) } else { 0 };
        seen.insert(offsets.iter().map(|offset| offset - from).collect::<Vec<_>>())
    };
    (0..).map(Outer::new).zip(statement.offsets).filter(|(_, offsets)| new(offsets)).map(|(outer, _)| outer).collect()
}
