//! The smallest set that competes for too few.
//!
//! Of up to 20 members (slots, or items that must be used) every set is looked at. A partner (item, or slot) belongs
//! to the members
//! that may take it; the partners of a set are all but those that belong only to members outside. How many those
//! are comes for all sets at once from sums over subsets. O(2ⁿ · n + pairs).

use crate::grid::{Bits, Grid};
use crate::matching::Violator;
use pairwright_proof::{Item, Slot};

/// Most members of which all sets are looked at.
const MOST: usize = 20;

/// A violator of the same kind from which the fewest members compete, the first in order of those; the one given if
/// there
/// are too many members to look at.
pub(crate) fn smallest(grid: &Grid, must: &Bits, known: Violator) -> Violator {
    let found = match &known {
        Violator::Slots { .. } => among_slots(grid),
        Violator::Items { .. } => among_items(grid, must),
    };
    found.unwrap_or(known)
}

fn among_slots(grid: &Grid) -> Option<Violator> {
    let mut belongs = vec![0_u32; grid.item_count()];
    if grid.slot_count() > MOST {
        return None;
    }
    for (slot, item) in grid.pairs() {
        belongs[item.index()] |= 1 << slot.index();
    }
    let set = fewest(grid.slot_count(), &belongs)?;
    let mut slots = Bits::none(grid.slot_count());
    let mut items = Bits::none(grid.item_count());
    for slot in grid.slots().filter(|slot| set >> slot.index() & 1 == 1) {
        slots.set(slot.index());
        items.union(grid.row(slot));
    }
    Some(Violator::Slots { slots, items })
}

fn among_items(grid: &Grid, must: &Bits) -> Option<Violator> {
    let members: Vec<Item> = must.iter().map(Item::new).collect();
    if members.len() > MOST {
        return None;
    }
    let belongs = |slot: Slot| {
        let mut mask = 0;
        for (place, &item) in members.iter().enumerate() {
            mask |= u32::from(grid.has(slot, item)) << place;
        }
        mask
    };
    let belongs: Vec<u32> = grid.slots().map(belongs).collect();
    let set = fewest(members.len(), &belongs)?;
    let mut items = Bits::none(grid.item_count());
    for (_, item) in members.iter().enumerate().filter(|(place, _)| set >> place & 1 == 1) {
        items.set(item.index());
    }
    let mut slots = Bits::none(grid.slot_count());
    for slot in grid.slots().filter(|slot| belongs[slot.index()] & set != 0) {
        slots.set(slot.index());
    }
    Some(Violator::Items { items, slots })
}

/// The smallest set of members with fewer partners than members; of several the one whose members come first.
fn fewest(members: usize, belongs: &[u32]) -> Option<u32> {
    let sets = 1_usize << members;
    // How many partners belong only to members of the set.
    let mut only = vec![0_u32; sets];
    for &set in belongs {
        only[set as usize] += 1;
    }
    for member in 0..members {
        for set in 0..sets {
            if set >> member & 1 == 1 {
                only[set] += only[set ^ 1 << member];
            }
        }
    }
    let all = only[sets - 1];
    let competes = |set: usize| all - only[sets - 1 - set] < set.count_ones();
    let found = (1..sets).filter(|&set| competes(set));
    let least = found.min_by_key(|&set| (set.count_ones(), std::cmp::Reverse(set.reverse_bits())))?;
    u32::try_from(least).ok()
}
