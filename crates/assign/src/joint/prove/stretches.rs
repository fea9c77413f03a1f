//! Totals and squares of an outer choice, stretch of sums by stretch of sums.

use super::scope::Scope;
use super::tree::Tree;
use super::{NoProof, known_total};
use crate::joint::ground::{Ground, Triple};
use crate::joint::meter::Meter;
use crate::joint::problem::{JointAim, JointError};
use pairwright_proof::{Outer, Segment, Step};

/// A stretch is halved down to the root of the squares over so many.
const FINEST: i128 = 2;

pub(super) struct Stretches<'g> {
    ground: &'g Ground<'g>,
    outer: Outer,
    aim: JointAim,
    value: i128,
    triples: Vec<Triple>,
    total: Option<i128>,
}

impl<'g> Stretches<'g> {
    pub(super) fn new(ground: &'g Ground<'g>, outer: Outer, aim: JointAim, value: i128) -> Result<Self, JointError> {
        let mut triples = ground.triples(outer)?;
        triples.sort_by_key(|triple| triple.value);
        Ok(Self { ground, outer, aim, value, triples, total: known_total(ground, outer) })
    }

    pub(super) fn segments(&self, meter: &mut Meter<'_>) -> Result<Vec<Segment>, NoProof> {
        if self.aim != JointAim::SquaresAboutMean || self.total.is_some() {
            let steps = self.tree(self.scope((0, 0))?, meter)?;
            return Ok(vec![Segment { from: 0, to: 0, steps }]);
        }
        // A slot without a triple leaves no choice, and nothing to cover.
        let Some(all) = self.scope((0, 0))?.bounds(&self.triples, self.ground.slots) else {
            return Ok(Vec::new());
        };
        let finest = (self.value.max(0).isqrt() / FINEST).max(1);
        let mut segments = Vec::new();
        let mut open = vec![(all.low, all.high)];
        while let Some((from, to)) = open.pop() {
            let scope = self.scope((from, to))?;
            let at_once = Tree::within(self.ground, self.outer, scope, meter).at_once(self.within(&scope))?;
            let steps = match at_once {
                Some(step) => vec![step],
                None if to - from >= finest => {
                    let middle = i128::midpoint(from, to).min(to - 1);
                    open.extend([(middle + 1, to), (from, middle)]);
                    continue;
                }
                None => self.tree(scope, meter)?,
            };
            let narrow = |sum: i128| i64::try_from(sum).map_err(|_| NoProof::Aim);
            segments.push(Segment { from: narrow(from)?, to: narrow(to)?, steps });
        }
        Ok(segments)
    }

    fn scope(&self, sums: (i128, i128)) -> Result<Scope, NoProof> {
        Scope::better(self.aim, self.ground.slots, self.value, self.total, sums).ok_or(NoProof::Aim)
    }

    /// The triples that their own cost lets through.
    fn within(&self, scope: &Scope) -> &[Triple] {
        let (low, high) = scope.reach();
        let start = self.triples.partition_point(|triple| triple.value < low);
        let end = self.triples.partition_point(|triple| triple.value <= high);
        self.triples.get(start..end).unwrap_or_default()
    }

    fn tree(&self, scope: Scope, meter: &mut Meter<'_>) -> Result<Vec<Step>, NoProof> {
        let mut tree = Tree::within(self.ground, self.outer, scope, meter);
        tree.close(self.within(&scope))?;
        Ok(tree.steps)
    }
}
