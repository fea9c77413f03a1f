//! A choice to start from that a test hands to every search.
//!
//! A search that prunes by the best choice known may hide a wrong step behind a good first one. So tests give the worst
//! there is: it has to make no difference. Without the feature `bad-starts` nothing is ever given.

use crate::grid::{Bits, Grid};

#[cfg(feature = "bad-starts")]
mod given {
    use pairwright_proof::{Choice, Item};
    use std::cell::RefCell;

    thread_local! {
        static START: RefCell<Option<Vec<Item>>> = const { RefCell::new(None) };
    }

    /// Whatever is solved by `solve` on this thread starts from the choice wherever that is one of what is searched.
    ///
    /// For tests only, and no part of what this crate promises.
    #[doc(hidden)]
    pub fn starting_from<T>(choice: &Choice, solve: impl FnOnce() -> T) -> T {
        START.with_borrow_mut(|start| *start = Some(choice.items().to_vec()));
        let solved = solve();
        START.with_borrow_mut(|start| *start = None);
        solved
    }

    pub(super) fn is_some() -> bool {
        START.with_borrow(Option::is_some)
    }

    pub(super) fn items() -> Option<Vec<Item>> {
        START.with_borrow(Clone::clone)
    }
}

#[cfg(feature = "bad-starts")]
pub use given::starting_from;

/// Whether a choice is given at all.
pub(crate) fn is_given() -> bool {
    #[cfg(feature = "bad-starts")]
    return given::is_some();
    #[cfg(not(feature = "bad-starts"))]
    return false;
}

/// The pairs of the choice given, if they are a choice of the grid that uses all of `must`.
#[cfg(feature = "bad-starts")]
pub(crate) fn given(grid: &Grid, must: &Bits) -> Option<Grid> {
    let items = given::items().filter(|items| items.len() == grid.slot_count())?;
    let slots = u32::try_from(items.len()).ok()?;
    let mut only = Grid::none(slots, grid.item_count());
    let mut used = Bits::none(grid.item_count());
    for (slot, item) in grid.slots().zip(items) {
        if item.index() >= grid.item_count() || !grid.has(slot, item) || used.has(item.index()) {
            return None;
        }
        used.set(item.index());
        only.set(slot, item);
    }
    must.iter().all(|item| used.has(item as usize)).then_some(only)
}

/// Nothing.
#[cfg(not(feature = "bad-starts"))]
pub(crate) const fn given(_: &Grid, _: &Bits) -> Option<Grid> {
    None
}
