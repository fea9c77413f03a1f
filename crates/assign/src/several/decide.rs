//! Is there a bundle for every slot, no item twice? Depth first, the slot with the fewest bundles left first.

use super::beside::Limits;
use super::field::{Bundle, Chosen};
use crate::watch::Watch;

/// How many bundles may still be looked at, and what is left of the call's budget.
#[derive(Debug)]
pub(crate) struct Effort<'w> {
    pub(crate) left: u64,
    pub(crate) watch: &'w Watch<'w>,
}

/// The effort was spent.
#[derive(Debug)]
pub(crate) struct Spent;

impl Effort<'_> {
    pub(crate) fn spend(&mut self, bundles: usize) -> Result<(), Spent> {
        self.left = self.left.checked_sub(bundles as u64).ok_or(Spent)?;
        if self.watch.spend() { Ok(()) } else { Err(Spent) }
    }
}

/// A rule on the values of the slots together, carried along as they are chosen.
pub(crate) trait Rule: Copy {
    /// The rule once a further value is chosen; `None` if no choice that goes on from there can keep it.
    fn with(self, value: i64) -> Option<Self>;
}

/// No rule.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Free;

impl Rule for Free {
    fn with(self, _: i64) -> Option<Self> {
        Some(self)
    }
}

/// A bundle from each list, no item twice, the rule and the limits kept; `None` if there is none.
///
/// Exponential in the number of lists at worst; each step looks at every bundle of every open list.
pub(crate) fn decide<R: Rule>(
    lists: &[&[Bundle]],
    rule: R,
    limits: &Limits,
    effort: &mut Effort<'_>,
) -> Result<Option<Chosen>, Spent> {
    let floors = limits.floors(lists);
    let mut dive = Dive { lists, chosen: vec![None; lists.len()], limits, floors: &floors, effort };
    let found = dive.dive(0, rule)?;
    let chosen: Option<Chosen> = dive.chosen.into_iter().collect();
    Ok(chosen.filter(|_| found))
}

struct Dive<'a, 'w> {
    lists: &'a [&'a [Bundle]],
    chosen: Vec<Option<Bundle>>,
    limits: &'a Limits,
    floors: &'a [Vec<i128>],
    effort: &'a mut Effort<'w>,
}

impl Dive<'_, '_> {
    fn dive<R: Rule>(&mut self, used: u128, rule: R) -> Result<bool, Spent> {
        let (limits, floors) = (self.limits, self.floors);
        let gate = limits.gate(floors, &self.chosen);
        let fits = |slot: usize, bundle: &Bundle| {
            bundle.items & used == 0 && rule.with(bundle.value).is_some() && gate.admits(slot, bundle)
        };
        let mut narrowest: Option<(usize, usize)> = None;
        for (slot, list) in self.lists.iter().enumerate() {
            if self.chosen[slot].is_none() {
                self.effort.spend(list.len())?;
                let most = narrowest.map_or(usize::MAX, |(count, _)| count);
                let count = list.iter().filter(|bundle| fits(slot, bundle)).take(most).count();
                if count == 0 {
                    return Ok(false);
                }
                if count < most {
                    narrowest = Some((count, slot));
                }
            }
        }
        let Some((_, slot)) = narrowest else {
            return Ok(true);
        };
        // The greatest values first: close to the upper end of a window.
        for bundle in self.lists[slot].iter().rev().filter(|bundle| fits(slot, bundle)) {
            let Some(rule) = rule.with(bundle.value) else { continue };
            self.chosen[slot] = Some(*bundle);
            if self.dive(used | bundle.items, rule)? {
                return Ok(true);
            }
        }
        self.chosen[slot] = None;
        Ok(false)
    }
}
