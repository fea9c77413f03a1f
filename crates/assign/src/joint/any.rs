//! Whether there is any choice at all, whatever it is worth.

use super::bar::Bar;
use super::descend::Core;
use super::fields::Fields;
use super::ground::Ground;
use super::problem::{JointAim, JointError};
use super::thick::{self, Thick};
use pairwright_proof::{Choice, Item, JointChoice};
use std::collections::BTreeSet;

/// Any choice; `None` if there is none, or the meter ran out.
pub(super) fn choice(ground: &Ground<'_>, core: &mut Core<'_, '_>) -> Result<Option<JointChoice>, JointError> {
    if thick::suits(ground) {
        return matched(ground, core);
    }
    core.any = true;
    // Whatever it is worth: the level of the last pass says nothing about the costs of this one.
    core.bar = Bar::aim(i128::MAX);
    Fields::new(ground, JointAim::WorstFrom { target: 0 })?.pass(core)?;
    core.any = false;
    Ok(core.bar.best().map(|(_, choice)| choice.clone()))
}

/// The same by placing one kind and matching the other; outer choices that allow the same triples are looked at once.
fn matched(ground: &Ground<'_>, core: &mut Core<'_, '_>) -> Result<Option<JointChoice>, JointError> {
    let mut search = Thick::new(ground);
    let mut refuted = BTreeSet::new();
    for &outer in &ground.outers {
        let triples = ground.triples(outer)?;
        let mut allowed: Vec<_> = triples.iter().map(|triple| (triple.slot, triple.first, triple.second)).collect();
        allowed.sort_unstable();
        if !refuted.insert(allowed) {
            continue;
        }
        if let Some((first, second)) = search.find(triples.iter(), &mut core.meter) {
            let kind = |items: &[u16]| Choice::new(items.iter().map(|&item| Item::new(u32::from(item))).collect());
            return Ok(Some(JointChoice { outer, first: kind(&first), second: kind(&second) }));
        }
        if core.meter.stopped().is_some() {
            break;
        }
    }
    Ok(None)
}
