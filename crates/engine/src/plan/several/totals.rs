//! Totals that only hang on which parts are used: the best set first, then whether it can be arranged.
//!
//! Where a part adds the same wherever it stands, every arrangement of a set of parts has the same total, and a search by values
//! meets nothing but equals. Sets are gone through from the best total on, and of each the arrangement with the least spread is
//! looked for; the first set that has one is the best.

use std::cmp::Reverse;
use std::collections::{BTreeSet, BinaryHeap};

use pairwright_assign::several::{SeveralOutcome, SeveralProblem, prove_several};
use pairwright_assign::{Budget, Shape};
use pairwright_proof::{Item, Measure, Sense, SeveralProof, Slot, Table, Worth};

use super::super::choose::PlanError;
use super::super::criteria::{Criterion, of_aim};
use super::super::layer::Layer;
use super::asked::Wanted;
use super::beside::Kept;
use super::bundles::Several;
use super::stages::{Staged, searched};

/// So many sets are gone through.
const SETS: usize = 64;

/// Whether a set of parts can be arranged as asked.
enum Arranged {
    So(Staged),
    Not,
    Unknown,
}

/// What positions bring, and what parts add to each.
#[derive(Debug)]
pub(super) struct Additive {
    base: Vec<i64>,
    /// By item.
    adds: Vec<i64>,
}

impl Several<'_> {
    /// The aim taken apart, where it is a sum of which every part adds the same in every position and role.
    pub(super) fn additive(&self) -> Option<Additive> {
        let each = self.pile.each;
        if self.pile.roles != pairwright_proof::Roles::Alike || self.pile.items <= each || self.pile.slots == 0 {
            return None;
        }
        let item = |at: usize| Item::new(u32::try_from(at).unwrap_or(u32::MAX));
        let raw = |slot: usize, items: &[Item]| self.question.aim_fit().value(self.seat(slot, items)?);
        // Of the first each + 1 parts one after the other is left out; any other part stands in for the first.
        let without = |out: usize| (0..=each).filter(|&at| at != out).map(item).collect::<Vec<_>>();
        let first_out = raw(0, &without(0))?;
        let beside: Vec<Item> = (1..each).map(item).collect();
        let with = |at: usize| std::iter::once(item(at)).chain(beside.iter().copied()).collect::<Vec<_>>();
        let with_first = raw(0, &with(0))?;
        let mut adds = vec![0_i64; self.pile.items];
        for (at, adds) in adds.iter_mut().enumerate().skip(1) {
            *adds = if at <= each {
                first_out.checked_sub(raw(0, &without(at))?)?
            } else {
                raw(0, &with(at))?.checked_sub(with_first)?
            };
        }
        let rest: i64 = beside.iter().map(|item| adds[item.index()]).sum();
        let base: Vec<i64> =
            (0..self.pile.slots).map(|slot| raw(slot, &with(0))?.checked_sub(rest)).collect::<Option<_>>()?;
        let mut holds = true;
        self.each_bundle(|items| {
            let sum: i64 = items.iter().map(|item| adds[item.index()]).sum();
            holds &= (0..self.pile.slots).all(|slot| raw(slot, items) == base[slot].checked_add(sum));
        });
        holds.then_some(Additive { base, adds })
    }

    /// The best total, found set by set; `None` where the aim is none of that kind or too many sets cannot be arranged.
    pub(super) fn by_sets(&self, wanted: &Wanted<'_>) -> Result<Option<Staged>, PlanError> {
        let (measure, sense) = of_aim(&self.question.matching.aim);
        let sum = self.additive.get_or_init(|| self.additive()).as_ref();
        let Some(sum) = sum.filter(|_| measure == Measure::Total) else { return Ok(None) };
        let loss =
            |item: usize| if sense == Sense::Least { i128::from(sum.adds[item]) } else { -i128::from(sum.adds[item]) };
        if self.pieces.iter().any(Option::is_some) {
            // Of pieces that are alike only some sets are gone through.
            return Ok(None);
        }
        let index = |part: usize| self.item(part).map(Item::index);
        let (out, brought) = (wanted.asked.leave_out.and_then(index), wanted.asked.bring_in.and_then(index));
        let mut items: Vec<usize> = (0..self.pile.items).filter(|&item| Some(item) != out).collect();
        items.sort_by_key(|&item| (Some(item) != brought, loss(item), item));
        let kept = usize::from(brought.is_some());
        let count = self.pile.slots * self.pile.each;
        for set in sets(&items, count, kept, loss) {
            match self.arranged(wanted, &set)? {
                Arranged::So(staged) => return Ok(Some(staged)),
                Arranged::Not => {}
                Arranged::Unknown => break,
            }
        }
        Ok(None)
    }

    /// The arrangement of a set with the least spread, and then the least squares.
    fn arranged(&self, wanted: &Wanted<'_>, set: &[usize]) -> Result<Arranged, PlanError> {
        let bits = set.iter().fold(0_u128, |bits, &item| bits | 1 << item);
        let within = Wanted { set: bits, ..*wanted };
        let least = |measure| Criterion { layer: Layer::Aim, measure, sense: Sense::Least };
        let outcome = self.solved_for_value(&within, least(Measure::Spread), &[])?;
        let Some(spread) = outcome.arrangement() else {
            let is_open = matches!(outcome, SeveralOutcome::Undecided { .. });
            return Ok(if is_open { Arranged::Unknown } else { Arranged::Not });
        };
        let kept = [Kept::settled(least(Measure::Spread), spread.value, 0)];
        let squares = self.solved_for_value(&within, least(Measure::SquaresAboutMean), &kept)?;
        let bundles = searched(&squares).unwrap_or(spread).bundles.clone();
        Ok(Arranged::So(Staged { bundles, exact: 1, is_first: false, stopped: None }))
    }

    /// A proof of a total over all bundles, those that limits keep out included: what bounds more bounds fewer. `None` where
    /// the total is not the best of those.
    pub(super) fn proof_by_sum(&self, value: i128) -> Result<Option<SeveralProof>, PlanError> {
        let (measure, sense) = of_aim(&self.question.matching.aim);
        let sum = self.additive.get_or_init(|| self.additive()).as_ref();
        let Some(sum) = sum.filter(|_| measure == Measure::Total) else { return Ok(None) };
        let shape = Shape { slots: self.pile.slots, items: self.pile.items };
        let table = Table::from_fn(shape, |_: Slot, item: Item| Some(sum.adds[item.index()]))?;
        let worth = Worth::Sum { base: &sum.base, table: &table };
        let problem = SeveralProblem::new(self.pile, &worth, measure, sense)?;
        Ok(prove_several(&problem, value, &Budget::default()).ok())
    }
}

/// Sets of `count` of the items, which are sorted by their loss, the first `kept` of them in every set: those with the least
/// loss first, each once, [`SETS`] at most.
fn sets(items: &[usize], count: usize, kept: usize, loss: impl Fn(usize) -> i128) -> Vec<Vec<usize>> {
    let worth = |places: &[usize]| places.iter().map(|&place| loss(items[place])).sum::<i128>();
    let mut found = Vec::new();
    if count > items.len() || count < kept {
        return found;
    }
    let first: Vec<usize> = (0..count).collect();
    let mut seen: BTreeSet<Vec<usize>> = BTreeSet::from([first.clone()]);
    let mut open = BinaryHeap::from([Reverse((worth(&first), first))]);
    while let Some(Reverse((_, places))) = open.pop() {
        found.push(places.iter().map(|&place| items[place]).collect());
        if found.len() == SETS {
            break;
        }
        // Any place moves one on, to where none is yet.
        for at in kept..count {
            let next = places[at] + 1;
            if next < items.len() && places.get(at + 1) != Some(&next) {
                let mut moved = places.clone();
                moved[at] = next;
                if seen.insert(moved.clone()) {
                    open.push(Reverse((worth(&moved), moved)));
                }
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sets_come_by_their_loss_each_once() {
        let losses = [0, 1, 1, 4, 9];
        let all = sets(&[0, 1, 2, 3, 4], 2, 0, |item| losses[item]);
        assert_eq!(all.len(), 10);
        let sums: Vec<i128> = all.iter().map(|set| set.iter().map(|&item| losses[item]).sum()).collect();
        assert!(sums.is_sorted(), "{sums:?}");
        assert_eq!(all.iter().collect::<BTreeSet<_>>().len(), 10);
        // The item that is kept stands first and in every set.
        let with_last = sets(&[4, 0, 1, 2, 3], 2, 1, |item| losses[item]);
        assert_eq!(with_last.first(), Some(&vec![4, 0]));
        assert!(with_last.iter().all(|set| set.contains(&4)) && with_last.len() == 4);
    }
}
