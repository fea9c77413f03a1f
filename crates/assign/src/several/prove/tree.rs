//! Walks through the tree and writes down a step for every node that opens.

use super::Unproven;
use super::node::{Ground, Next, Node, Rule, Way};
use super::prices::{Priced, members, raise};
use super::stretches;
use crate::grid::{Bits, Grid};
use crate::matching::{Matching, Violator};
use crate::outcome::Reason;
use crate::several::decide::Effort;
use crate::several::field::Chosen;
use pairwright_proof::{Item, SeveralProof, SeveralStep, Slot};
use std::rc::Rc;

/// Why no arrangement keeps the rule; leaves one in `met` that does, if it meets one.
pub(super) fn refute(
    ground: &Ground,
    effort: &mut Effort<'_>,
    met: &mut Option<Chosen>,
) -> Result<SeveralProof, Unproven> {
    let mut proof = SeveralProof::default();
    let mut numbers = 0;
    let mut waiting = vec![(Rc::new(Node::whole(ground)), Way::All)];
    while let Some((from, way)) = waiting.pop() {
        // What needs no branching is not counted.
        let looks = if from.plan.held == 0 { 0 } else { from.open.len() * way.looks() };
        if effort.spend(looks).is_err() {
            return Err(Unproven::Unfinished(effort.watch.stopped().map_or(Reason::EffortSpent, Reason::Stopped)));
        }
        let Some(mut node) = way.of(ground, &from).opened(ground) else { continue };
        drop(from);
        let (step, ways) = next(ground, &mut node).inspect_err(|why| {
            *met = (*why == Unproven::NotBest).then(|| ground.chosen(&node.open));
        })?;
        numbers += step.numbers();
        node.plan.held += if ways.len() > 1 { node.open.len() } else { 0 };
        if numbers > SeveralProof::MOST_NUMBERS || node.plan.held > SeveralProof::MOST_HELD {
            return Err(Unproven::TooLong);
        }
        proof.steps.push(step);
        let node = Rc::new(node);
        waiting.extend(ways.into_iter().rev().map(|way| (Rc::clone(&node), way)));
    }
    Ok(proof)
}

/// What closes the node if anything does, what prepares it, or else the fewest ways to go on.
fn next(ground: &Ground, node: &mut Node) -> Result<(SeveralStep, Vec<Way>), Unproven> {
    if let Some(slots) = short(ground, node) {
        return Ok((SeveralStep::Short(slots), Vec::new()));
    }
    let priced = |priced: Priced| Ok((priced.step(), vec![Way::Priced(Rc::new(priced))]));
    match node.plan.next.take() {
        Some(Next::Plain(about)) => return priced(Priced::new(ground, &node.open, 1, about, Vec::new())),
        Some(Next::Raised(about)) => {
            node.plan.sought = true;
            return priced(raise(ground, node, about));
        }
        None => {}
    }
    match ground.rule {
        Rule::Spread { width } if !node.plan.topped => {
            node.plan.topped = true;
            return Ok(tops(ground, node, width));
        }
        Rule::Mean { most } if node.priced.is_none() => return stretches::divide(ground, node, most),
        Rule::Total { .. } | Rule::Squares { .. } | Rule::Mean { .. } if !node.plan.sought => {
            node.plan.sought = true;
            let about = node.priced.as_ref().map_or(0, |before| before.about());
            return priced(raise(ground, node, about));
        }
        _ => {}
    }
    if let Some(taken) = fewest(ground, node) {
        return Ok(taken);
    }
    // Every slot has one serving left, perhaps only since the node opened: it opens once more, and is known exactly.
    if ground.slots == 0 || std::mem::replace(&mut node.plan.single, true) {
        return Err(Unproven::NotBest);
    }
    Ok((SeveralStep::Each(Slot::new(0)), each(ground, node, 0)))
}

/// Slots with fewer items than they take, by a matching of items to the places of all slots.
fn short(ground: &Ground, node: &Node) -> Option<Vec<Slot>> {
    let mut grid = Grid::none(u32::try_from(ground.slots * ground.each).ok()?, ground.items);
    for own in node.by_slot(ground) {
        let slot = ground.serving(*own.first()?).slot;
        let items = own.iter().fold(0, |items, &at| items | ground.serving(at).items);
        for place in slot * ground.each..(slot + 1) * ground.each {
            for item in members(items) {
                grid.set(numbered(place), Item::new(u32::try_from(item).ok()?));
            }
        }
    }
    let none = Bits::none(ground.items);
    let Err(Violator::Slots { slots, .. }) = Matching::empty(&grid).complete(&grid, &none) else {
        return None;
    };
    let mut slots: Vec<Slot> = slots.iter().map(|place| numbered(place as usize / ground.each.max(1))).collect();
    slots.dedup();
    Some(slots)
}

/// A way for every value that the greatest can be, those together that leave some slot empty.
fn tops(ground: &Ground, node: &Node, width: i128) -> (SeveralStep, Vec<Way>) {
    let sorted = |own: &[u32]| {
        let mut values: Vec<i128> = own.iter().map(|&at| ground.serving(at).value).collect();
        values.sort_unstable();
        values
    };
    let by_slot: Vec<Vec<i128>> = node.by_slot(ground).map(sorted).collect();
    let mut values: Vec<i128> = by_slot.iter().flatten().copied().collect();
    values.sort_unstable();
    values.dedup();
    let mut cuts = Vec::new();
    let mut ways = Vec::new();
    let mut at = 0;
    while let Some(&top) = values.get(at) {
        let from = if at == 0 { i128::MIN } else { top - width };
        // A slot with nothing in the window that ends here has nothing until its next value.
        let ahead = |own: &Vec<i128>| match own.get(own.partition_point(|&value| value < top - width)) {
            None => Some(i128::MAX),
            Some(&next) => (next > top).then_some(next),
        };
        let until = by_slot.iter().filter_map(ahead).max();
        at = until.map_or(at + 1, |until| values.partition_point(|&value| value < until));
        // Just below the next value, so that the next window begins as high as it can.
        let cut = values.get(at).map_or(i128::MAX, |next| next - 1);
        ways.push(Way::Values { from, until: cut });
        // Values are 64 bits wide and above the least of them.
        cuts.extend(i64::try_from(cut));
    }
    (SeveralStep::Tops(cuts), ways)
}

/// The slot with the fewest servings or, where all items are used, the item with the fewest slots; `None` if all are settled.
fn fewest(ground: &Ground, node: &Node) -> Option<(SeveralStep, Vec<Way>)> {
    let mut best: Option<(usize, SeveralStep)> = None;
    let mut offer = |ways: usize, step: SeveralStep| {
        if ways > 1 && best.as_ref().is_none_or(|&(fewest, _)| ways < fewest) {
            best = Some((ways, step));
        }
    };
    let mut slots_of = vec![0; ground.items];
    for own in node.by_slot(ground) {
        offer(own.len(), SeveralStep::Each(numbered(ground.serving(*own.first()?).slot)));
        let items = own.iter().fold(0, |items, &at| items | ground.serving(at).items);
        members(items).for_each(|item| slots_of[item] += 1);
    }
    if ground.all_used {
        for (item, ways) in (0..).map(Item::new).zip(slots_of) {
            offer(ways, SeveralStep::Seat(item));
        }
    }
    let (_, step) = best?;
    let ways = match step {
        SeveralStep::Each(slot) => each(ground, node, slot.index()),
        SeveralStep::Seat(item) => seat(ground, node, item.index()),
        _ => Vec::new(),
    };
    Some((step, ways))
}

fn each(ground: &Ground, node: &Node, slot: usize) -> Vec<Way> {
    node.open.iter().copied().filter(|&at| ground.serving(at).slot == slot).map(Way::Serving).collect()
}

fn seat(ground: &Ground, node: &Node, item: usize) -> Vec<Way> {
    let holds = |at: &&u32| ground.serving(**at).items >> item & 1 == 1;
    let slots = node.by_slot(ground).filter_map(|own| own.iter().find(holds));
    slots.map(|&at| Way::Seat { item, slot: ground.serving(at).slot }).collect()
}

fn numbered(slot: usize) -> Slot {
    Slot::new(u32::try_from(slot).unwrap_or(u32::MAX))
}
