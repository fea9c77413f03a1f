//! The last tie: the lexicographically smallest vector of items.

use crate::best::held_by;
use crate::effort::Effort;
use crate::grid::Grid;
use crate::matching::Matching;
use crate::region::Region;
use crate::search::Holds;
use pairwright_proof::Item;

/// The first choice of a region in order, and whether that is certain.
pub(crate) struct First {
    /// `None` if the region is empty, or not known to hold a choice.
    pub(crate) choice: Option<Vec<Item>>,
    pub(crate) certain: bool,
}

/// The choice of a region whose vector of items is the smallest.
///
/// Slot after slot, the smallest item with which the rest can still be served.
pub(crate) fn first(region: &Region<'_>, effort: &Effort<'_>) -> First {
    if region.budgets.is_empty() {
        let choice = first_by_matching(region, effort);
        return First { choice, certain: effort.watch().stopped().is_none() };
    }
    let mut certain = true;
    let mut held = |grid: &Grid| match held_by(region, grid, effort) {
        Holds::Yes(choice) => Some(choice),
        Holds::No => None,
        Holds::Unknown => {
            certain = false;
            None
        }
    };
    let choice = held(&region.grid).map(|start| smallest(&region.grid, start, held, effort));
    First { choice, certain }
}

fn first_by_matching(region: &Region<'_>, effort: &Effort<'_>) -> Option<Vec<Item>> {
    let mut matching = Matching::empty(&region.grid);
    matching.complete(&region.grid, &region.must).ok()?;
    matching.put_in_order(&region.grid, &region.must, || effort.watch().goes_on());
    Some(matching.choice())
}

/// Improves a choice slot by slot until the watch ends it; `held` gives a choice inside a grid.
fn smallest(
    grid: &Grid,
    mut choice: Vec<Item>,
    mut held: impl FnMut(&Grid) -> Option<Vec<Item>>,
    effort: &Effort<'_>,
) -> Vec<Item> {
    let mut grid = grid.clone();
    let mut forced = grid.clone();
    for slot in grid.slots().take_while(|_| effort.watch().goes_on()) {
        let smaller = grid.items_of(slot).take_while(|&item| item < choice[slot.index()]);
        let better = { smaller }.find_map(|item| {
            forced.copy_from(&grid);
            forced.force(slot, item);
            held(&forced)
        });
        if let Some(better) = better {
            choice = better;
        }
        grid.force(slot, choice[slot.index()]);
    }
    choice
}
