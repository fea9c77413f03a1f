//! Windows of an outer choice, closed many at once where that is easy.

use super::tree::Tree;
use super::{NoProof, known_total};
use crate::joint::ground::{Ground, Triple};
use crate::joint::meter::Meter;
use crate::joint::problem::JointError;
use pairwright_proof::{Outer, Segment, Side, Slot, Step};

pub(super) struct Windows<'g> {
    ground: &'g Ground<'g>,
    outer: Outer,
    width: i64,
    triples: Vec<Triple>,
    /// For every slot its values, ascending.
    values: Vec<Vec<i64>>,
    total: Option<i128>,
}

impl<'g> Windows<'g> {
    pub(super) fn new(ground: &'g Ground<'g>, outer: Outer, width: i64) -> Result<Self, JointError> {
        let mut triples = ground.triples(outer)?;
        triples.sort_by_key(|triple| triple.value);
        let mut values = vec![Vec::new(); ground.slots];
        for triple in &triples {
            values[usize::from(triple.slot)].push(triple.value);
        }
        Ok(Self { ground, outer, width, triples, values, total: known_total(ground, outer) })
    }

    /// The one window of a worst distance.
    pub(super) fn around(&self, target: i64, meter: &mut Meter<'_>) -> Result<Vec<Segment>, NoProof> {
        let (low, high) = (target.saturating_sub(self.width), target.saturating_add(self.width));
        Ok(vec![Segment { from: low, to: high, steps: self.tree(low, high, meter)? }])
    }

    /// All windows of a spread, by the value they end at.
    pub(super) fn below_every_top(&self, meter: &mut Meter<'_>) -> Result<Vec<Segment>, NoProof> {
        let mut segments = Vec::new();
        let mut at = 0;
        while let Some(from) = self.triples.get(at).map(|triple| triple.value) {
            let segment = match self.without_slot(from).or_else(|| self.off_total(from)) {
                Some(segment) => segment,
                None => Segment { from, to: from, steps: self.tree(from - self.width, from, meter)? },
            };
            at += self.triples[at..].partition_point(|triple| triple.value <= segment.to);
            segments.push(segment);
        }
        Ok(segments)
    }

    /// Windows from here on that have no triple of some slot.
    fn without_slot(&self, from: i64) -> Option<Segment> {
        let low = from - self.width;
        let next = |values: &Vec<i64>| values.get(values.partition_point(|&value| value < low)).copied();
        let ahead = |(slot, values)| match next(values) {
            None => Some((i64::MAX, slot)),
            Some(value) => (value > from).then_some((value - 1, slot)),
        };
        let (to, slot) = (0..).zip(&self.values).filter_map(ahead).max()?;
        let steps = vec![Step::Short { side: Side::First, slots: vec![Slot::new(slot)] }];
        Some(Segment { from, to, steps })
    }

    /// Windows from here on whose values lie all too low or all too high for the total; no slot is empty here.
    fn off_total(&self, from: i64) -> Option<Segment> {
        let total = self.total?;
        let low = from - self.width;
        let least = self.values.iter().map(|values| values.get(values.partition_point(|&value| value < low)));
        let least: i128 = least.map(|value| value.copied().map(i128::from)).sum::<Option<i128>>()?;
        if least > total {
            return Some(Segment { from, to: i64::MAX, steps: vec![Step::Total] });
        }
        let most = |top: i64| -> i128 {
            let last = |values: &Vec<i64>| values[..values.partition_point(|&value| value <= top)].last().copied();
            self.values.iter().filter_map(last).map(i128::from).sum()
        };
        let misses = |triple: &Triple| triple.value < from || most(triple.value) < total;
        let end = self.triples.partition_point(misses);
        let to = self.triples.get(..end)?.last()?.value;
        (to >= from).then(|| Segment { from, to, steps: vec![Step::Total] })
    }

    fn tree(&self, low: i64, high: i64, meter: &mut Meter<'_>) -> Result<Vec<Step>, NoProof> {
        let start = self.triples.partition_point(|triple| triple.value < low);
        let end = self.triples.partition_point(|triple| triple.value <= high);
        let mut tree = Tree::new(self.ground, self.outer, self.total, meter);
        tree.close(self.triples.get(start..end).unwrap_or_default())?;
        Ok(tree.steps)
    }
}
