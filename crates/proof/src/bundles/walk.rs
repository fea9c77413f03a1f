//! Walks through a proof and believes nothing of it.

use super::field::{Field, Rule, Serving};
use super::node::Node;
use super::prices::{Beyond, Priced, can_price};
use super::proof::{SeveralProof, SeveralStep};
use crate::{Item, Slot};
use std::collections::BTreeSet;
use std::rc::Rc;

/// What is wrong, and at which step.
pub(super) enum Flaw {
    Step(usize),
    Length,
    Beyond,
}

impl From<Beyond> for Flaw {
    fn from(Beyond: Beyond) -> Self {
        Self::Beyond
    }
}

/// Whether no arrangement keeps the field's rule.
///
/// Ways wait as what they keep of the node they come from, and become nodes when it is their turn: no more nodes are held
/// than lie on one branch.
pub(super) fn refute(field: &Field, steps: &[SeveralStep]) -> Result<(), Flaw> {
    let mut steps = steps.iter().enumerate();
    let mut waiting = vec![(Rc::new(Node::whole(field)?), Way::All)];
    while let Some((from, way)) = waiting.pop() {
        let Some(node) = way.of(field, &from).opened(field)? else { continue };
        drop(from);
        let (at, step) = steps.next().ok_or(Flaw::Length)?;
        let ways = follow(field, &node, step).ok_or(Flaw::Step(at))?;
        let held = node.held + if ways.len() > 1 { node.open.len() } else { 0 };
        if held > SeveralProof::MOST_HELD {
            return Err(Flaw::Beyond);
        }
        let node = Rc::new(Node { held, ..node });
        waiting.extend(ways.into_iter().rev().map(|way| (Rc::clone(&node), way)));
    }
    if steps.next().is_none() { Ok(()) } else { Err(Flaw::Length) }
}

/// What a step keeps of its node.
#[derive(Debug)]
enum Way {
    All,
    Priced(Rc<Priced>),
    /// The slot of this serving takes it.
    Serving(usize),
    /// The slot takes the item.
    Seat {
        item: usize,
        slot: usize,
    },
    /// Values within both ends.
    Values {
        from: Option<i128>,
        until: Option<i128>,
    },
    /// Sums within both ends.
    Sums {
        least: Option<i128>,
        most: Option<i128>,
    },
}

impl Way {
    fn of(self, field: &Field, node: &Node) -> Node {
        match self {
            Self::All => node.clone(),
            Self::Priced(priced) => Node { priced: Some(priced), ..node.clone() },
            Self::Serving(taken) => {
                let Serving { slot, items: of, .. } = &field.servings[taken];
                node.retain(|serving| {
                    let other = &field.servings[serving];
                    serving == taken || (other.slot != *slot && !other.items.iter().any(|item| of.contains(item)))
                })
            }
            Self::Seat { item, slot } => node.retain(|serving| {
                let serving = &field.servings[serving];
                (serving.slot == slot) == serving.items.contains(&item)
            }),
            Self::Values { from, until } => node.retain(|serving| {
                let value = i128::from(field.servings[serving].value);
                from.is_none_or(|from| value >= from) && until.is_none_or(|until| value <= until)
            }),
            Self::Sums { least, most } => Node { least, most, ..node.clone() },
        }
    }
}

/// The ways that a step leaves; `None` if it does not hold.
fn follow(field: &Field, node: &Node, step: &SeveralStep) -> Option<Vec<Way>> {
    match step {
        SeveralStep::Short(slots) => is_short(field, node, slots).then(Vec::new),
        SeveralStep::Prices { scale, about, items } => {
            Some(vec![Way::Priced(Rc::new(priced(field, *scale, *about, items)?))])
        }
        SeveralStep::Each(slot) => {
            let own = |&serving: &usize| field.servings[serving].slot == slot.index();
            let each = || node.open.iter().copied().filter(own).map(Way::Serving).collect();
            (slot.index() < field.pile.slots).then(each)
        }
        SeveralStep::Seat(item) => {
            (field.all_used && item.index() < field.pile.items).then(|| seat(field, node, item.index()))
        }
        SeveralStep::Tops(cuts) => tops(field, cuts),
        SeveralStep::Sums(cuts) => sums(field, node, cuts),
    }
}

fn is_short(field: &Field, node: &Node, slots: &[Slot]) -> bool {
    let ascend = slots.windows(2).all(|two| two[0] < two[1]);
    let named: BTreeSet<usize> = slots.iter().map(|slot| slot.index()).collect();
    let own = node.open.iter().map(|&serving| &field.servings[serving]).filter(|serving| named.contains(&serving.slot));
    let items: BTreeSet<usize> = own.flat_map(|serving| serving.items.iter().copied()).collect();
    let needed = slots.len().saturating_mul(field.pile.each);
    ascend && slots.iter().all(|slot| slot.index() < field.pile.slots) && items.len() < needed
}

fn priced(field: &Field, scale: i128, about: i128, items: &[(Item, i128)]) -> Option<Priced> {
    let mut prices = vec![0; if items.is_empty() { 0 } else { field.pile.items }];
    for &(item, price) in items {
        if price > 0 && !field.all_used {
            return None;
        }
        *prices.get_mut(item.index())? = price;
    }
    let ascend = items.windows(2).all(|two| two[0].0 < two[1].0);
    (scale >= 1 && ascend && can_price(field)).then_some(Priced { scale, about, items: prices })
}

fn seat(field: &Field, node: &Node, item: usize) -> Vec<Way> {
    let with = node.open.iter().map(|&serving| &field.servings[serving]).filter(|own| own.items.contains(&item));
    let slots: BTreeSet<usize> = with.map(|serving| serving.slot).collect();
    slots.into_iter().map(|slot| Way::Seat { item, slot }).collect()
}

fn tops(field: &Field, cuts: &[i64]) -> Option<Vec<Way>> {
    let Rule::Spread { width } = field.rule else {
        return None;
    };
    let cuts: Vec<i128> = cuts.iter().map(|&cut| i128::from(cut)).collect();
    let mut from = None;
    let mut ways = Vec::with_capacity(cuts.len() + 1);
    for until in cuts.iter().copied().map(Some).chain([None]) {
        ways.push(Way::Values { from, until });
        // The greatest value is above the cut, and no other is further below it than the width.
        from = until.map(|cut| cut + 1 - width);
    }
    cuts.windows(2).all(|two| two[0] < two[1]).then_some(ways)
}

fn sums(field: &Field, node: &Node, cuts: &[i128]) -> Option<Vec<Way>> {
    let Rule::Mean { .. } = field.rule else {
        return None;
    };
    let mut least = node.least;
    let mut ways = Vec::with_capacity(cuts.len() + 1);
    for &cut in cuts {
        let most = Some(node.most.map_or(cut, |most| most.min(cut)));
        ways.push(Way::Sums { least, most });
        let next = cut.checked_add(1)?;
        least = Some(least.map_or(next, |least| least.max(next)));
    }
    ways.push(Way::Sums { least, most: node.most });
    cuts.windows(2).all(|two| two[0] < two[1]).then_some(ways)
}
