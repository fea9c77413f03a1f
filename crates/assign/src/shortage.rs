//! Why there is no choice.

use crate::best::window_starts;
use crate::competing::smallest;
use crate::matching::{Matching, Violator};
use crate::problem::Problem;
use crate::region::{Family, Region};
use crate::spread::{self, Pairs};
use crate::watch::Watch;
use pairwright_proof::{Cause, Item, Shortage, Slot};

/// The shortage of a region that no matching completes, windows and budgets aside.
pub(crate) fn of_pairs(region: &Region<'_>) -> Option<Shortage> {
    let mut matching = Matching::empty(&region.grid);
    let violator = matching.complete(&region.grid, &region.must).err()?;
    Some(named(&smallest(&region.grid, &region.must, violator), Cause::Pairs))
}

/// The shortage of a problem whose pairs do hold choices, but none that keeps all its windows.
pub(crate) fn of_windows(problem: &Problem<'_>, whole: &Region<'_>) -> Shortage {
    for (window, limit) in problem.windows().iter().enumerate() {
        let (table, width) = (limit.table, limit.width);
        if !window_starts(whole, table, width).is_empty() {
            continue;
        }
        let Some(narrowest) = spread::least(Pairs::of(&whole.grid, table), &whole.must, None, &Watch::unlimited())
        else {
            continue;
        };
        let Some(&low) = narrowest.starts.first() else {
            continue;
        };
        let cause = Cause::Window { window, least: narrowest.spread.into(), low };
        let mut inside = whole.clone();
        Family { table, width, starts: vec![low] }.cut(&mut inside.grid);
        let mut matching = Matching::empty(&inside.grid);
        return match matching.complete(&inside.grid, &inside.must) {
            Err(violator) => named(&smallest(&inside.grid, &inside.must, violator), cause),
            Ok(()) => Shortage { slots: Vec::new(), items: Vec::new(), cause },
        };
    }
    Shortage { slots: Vec::new(), items: Vec::new(), cause: Cause::WindowsTogether }
}

fn named(violator: &Violator, cause: Cause) -> Shortage {
    let (slots, items, cause) = match violator {
        Violator::Items { items, slots } if cause == Cause::Pairs => (slots, items, Cause::BroughtIn),
        Violator::Slots { slots, items } | Violator::Items { items, slots } => (slots, items, cause),
    };
    Shortage { slots: slots.iter().map(Slot::new).collect(), items: items.iter().map(Item::new).collect(), cause }
}
