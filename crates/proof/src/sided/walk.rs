//! Walking through a tree.

use super::settle::Conditions;
use super::{Held, SidedStep};
use crate::proof::Prices;
use crate::verify::{Flaw, Region, ascending};
use crate::{Item, Slot};

/// Where a tree does not hold: the place of a step, or the number of steps where it ends too early or too late.
pub(super) struct Broken {
    pub(super) step: usize,
    pub(super) flaw: Flaw,
}

impl Conditions<'_> {
    /// Whether the tree shows that a region holds no choice.
    pub(super) fn walk(&self, whole: Region, steps: &[SidedStep]) -> Result<(), Broken> {
        let mut next = 0;
        let mut nodes = vec![whole];
        while let Some(node) = nodes.pop() {
            let broken = |flaw| Broken { step: next, flaw };
            let Some(node) = self.settled(node).map_err(broken)? else {
                continue;
            };
            let step = steps.get(next).ok_or(broken(Flaw::Gap))?;
            let children = self.follow(&node, step).map_err(broken)?;
            nodes.extend(children.into_iter().rev());
            next += 1;
        }
        if next == steps.len() { Ok(()) } else { Err(Broken { step: next, flaw: Flaw::Order }) }
    }

    /// The nodes that a step opens.
    fn follow(&self, node: &Region, step: &SidedStep) -> Result<Vec<Region>, Flaw> {
        match step {
            SidedStep::Slots(slots) => closes_slots(node, slots).map(|()| Vec::new()),
            SidedStep::Items(items) => closes_items(node, items).map(|()| Vec::new()),
            SidedStep::Prices { of, prices } => Ok(self.priced(node, of, prices)?.into_iter().collect()),
            SidedStep::Halve { of, at } => self.halves(node, *of, *at),
            SidedStep::Split(slot) => {
                let row = node.rows.get(slot.index()).ok_or(Flaw::Order)?;
                Ok(row.iter().map(|&item| with(node, *slot, item)).collect())
            }
        }
    }

    /// What is left within prices; `None` if the node is closed.
    fn priced(&self, node: &Region, of: &[(Held, i128)], prices: &Prices) -> Result<Option<Region>, Flaw> {
        if of.is_empty() || !ascending(of.iter().map(|&(name, _)| name)) {
            return Err(Flaw::Order);
        }
        let mut limits = Vec::new();
        let mut most = 0_i128;
        for &(name, weight) in of {
            let limit = self.limits.iter().find(|limit| limit.name == name && limit.is_sum());
            let limit = limit.filter(|_| weight >= 0).ok_or(Flaw::Kind)?;
            let weighted = weight.checked_mul(limit.most).ok_or(Flaw::Overflow)?;
            most = most.checked_add(weighted).ok_or(Flaw::Overflow)?;
            limits.push((limit, weight));
        }
        let cost = |slot: Slot, item: Item| {
            limits.iter().try_fold(0_i128, |sum, (limit, weight)| {
                let cost = limit.cost(limit.value(slot, item))?.ok()?;
                sum.checked_add(cost.checked_mul(*weight)?)
            })
        };
        let bound = node.check_prices(prices, &cost)?;
        let leftover = most.checked_sub(bound).ok_or(Flaw::Overflow)?;
        if leftover < 0 { Ok(None) } else { node.within(prices, &cost, leftover).map(Some) }
    }

    fn halves(&self, node: &Region, of: Held, at: i64) -> Result<Vec<Region>, Flaw> {
        let limit = self.limits.iter().find(|limit| limit.name == of).ok_or(Flaw::Kind)?;
        let width = limit.width(node.rows.len()).ok_or(Flaw::Kind)?;
        let at = i128::from(at);
        let (mut below, mut above) = (node.clone(), node.clone());
        below.retain(|slot, item| i128::from(limit.value(slot, item)) <= at.saturating_add(width));
        above.retain(|slot, item| i128::from(limit.value(slot, item)) > at);
        Ok(vec![below, above])
    }
}

/// What is left once the slot takes the item.
fn with(node: &Region, slot: Slot, item: Item) -> Region {
    let mut node = node.clone();
    node.retain(|other, taken| (other == slot) == (taken == item));
    node
}

fn closes_slots(node: &Region, slots: &[Slot]) -> Result<(), Flaw> {
    if slots.iter().any(|slot| slot.index() >= node.rows.len()) {
        return Err(Flaw::Order);
    }
    let mut items: Vec<Item> = slots.iter().flat_map(|slot| node.rows[slot.index()].iter().copied()).collect();
    items.sort_unstable();
    items.dedup();
    node.check_slots(slots, &items)
}

fn closes_items(node: &Region, items: &[Item]) -> Result<(), Flaw> {
    let fits = |&slot: &Slot| items.iter().any(|item| node.rows[slot.index()].binary_search(item).is_ok());
    let slots: Vec<Slot> = (0..).map(Slot::new).take(node.rows.len()).filter(fits).collect();
    node.check_items(items, &slots)
}
