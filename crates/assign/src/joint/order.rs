//! The first of all choices that are equally good.

use super::bar::Bar;
use super::budget::Budget;
use super::descend::{Core, Rule, Window};
use super::ground::{Ground, Triple};
use super::meter::Meter;
use super::problem::{JointError, JointProblem};
use pairwright_proof::{JointChoice, Outer};

/// What [`first_joint`] found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FirstJoint {
    /// The choice.
    pub choice: JointChoice,
    /// No allowed choice comes before it; else the budget ended first.
    pub is_first: bool,
}

/// The first, in order, of all choices that a problem allows and that keep its limits, whatever they are worth: by the
/// group of the outer choice, then by the items of the first kind in slot order, then by those of the second.
///
/// `known` is one of them, and `groups` holds a number for every outer choice; outer choices of one group stand for each
/// other. Item after item is asked whether anything goes on from there, so that it takes one search for each item that
/// comes before the one taken.
///
/// # Errors
/// [`JointError`] if values are too large to calculate with.
pub fn first_joint(
    problem: &JointProblem<'_>,
    groups: &[usize],
    known: JointChoice,
    budget: &Budget<'_>,
) -> Result<FirstJoint, JointError> {
    let ground = Ground::new(problem);
    let mut fields = Vec::new();
    let group = |outer: Outer| groups.get(outer.index()).copied().unwrap_or(usize::MAX);
    for &outer in ground.outers.iter().filter(|&&outer| group(outer) <= group(known.outer)) {
        fields.push((group(outer), outer, ground.triples(outer)?));
    }
    fields.sort_by_key(|&(group, outer, _)| (group, outer));
    let core = Core::new(&ground, Meter::new(budget), Bar::aim(i128::MAX));
    let mut search = Search { fields, core, known };
    search.settle_group(&group);
    search.settle_items(&group);
    Ok(FirstJoint { is_first: search.core.meter.stopped().is_none(), choice: search.known })
}

struct Search<'p, 'b> {
    fields: Vec<(usize, Outer, Vec<Triple>)>,
    core: Core<'p, 'b>,
    known: JointChoice,
}

/// What is left of a field's triples when the items of some slots are settled.
type Settled = Vec<[Option<u16>; 2]>;

impl Search<'_, '_> {
    /// Finds the first group that has a choice.
    fn settle_group(&mut self, group: &impl Fn(Outer) -> usize) {
        let nothing = vec![[None; 2]; self.core.ground.slots];
        let first = self.fields.first().map_or(0, |field| field.0);
        for own in first..group(self.known.outer) {
            if let Some(choice) = self.any(own, &nothing) {
                self.known = choice;
                return;
            }
        }
    }

    /// Item by item, the kinds one after the other.
    fn settle_items(&mut self, group: &impl Fn(Outer) -> usize) {
        let own = group(self.known.outer);
        let slots = self.core.ground.slots;
        let mut settled: Settled = vec![[None; 2]; slots];
        for (kind, slot) in (0..2).flat_map(|kind| (0..slots).map(move |slot| (kind, slot))) {
            for item in 0..self.item(kind, slot) {
                settled[slot][kind] = Some(item);
                if let Some(choice) = self.any(own, &settled) {
                    self.known = choice;
                    break;
                }
                if self.core.meter.stopped().is_some() {
                    return;
                }
            }
            settled[slot][kind] = Some(self.item(kind, slot));
        }
    }

    fn item(&self, kind: usize, slot: usize) -> u16 {
        let items = if kind == 0 { self.known.first.items() } else { self.known.second.items() };
        items.get(slot).and_then(|item| u16::try_from(item.number()).ok()).unwrap_or(0)
    }

    /// Any choice of a group with these items settled.
    fn any(&mut self, own: usize, settled: &Settled) -> Option<JointChoice> {
        let slots = self.core.ground.slots;
        let taken = |kind: usize, item: u16, slot: usize| {
            (0..slots).any(|other| other != slot && settled[other][kind] == Some(item))
        };
        let is_open = |triple: &&Triple| {
            let slot = usize::from(triple.slot);
            let own = settled[slot];
            own[0].is_none_or(|item| item == triple.first)
                && own[1].is_none_or(|item| item == triple.second)
                && !taken(0, triple.first, slot)
                && !taken(1, triple.second, slot)
        };
        for (_, outer, all) in self.fields.iter().filter(|field| field.0 == own) {
            let triples: Vec<Triple> = all.iter().filter(is_open).copied().collect();
            if self.core.meter.stopped().is_some() {
                return None;
            }
            self.core.any = true;
            self.core.bar = Bar::aim(i128::MAX);
            let costs = vec![0; triples.len()];
            let window = Window { outer: *outer, rule: Rule::Worst, triples: &triples, costs: &costs, root: None };
            self.core.search(window);
            if let Some((_, choice)) = self.core.bar.best() {
                return Some(choice.clone());
            }
        }
        None
    }
}
