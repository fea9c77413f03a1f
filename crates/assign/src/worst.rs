//! Least possible largest key: the bottleneck assignment.
//!
//! The largest of the slots' smallest keys is a lower bound, the largest key of any choice an upper one. A threshold
//! between them is tested by a matching over the pairs below it. When it fails, the slots that compete name the next
//! value
//! that could help; when it holds, the choice found names a lower upper bound. Tests alternate between the lower bound
//! and the middle, so at most about 2·log₂(range) matchings are needed.
//!
//! # References
//! - O. Gross, *The bottleneck assignment problem*, RAND P-1630 (1959): the threshold idea.

use crate::grid::{Bits, Grid};
use crate::matching::{Matching, Violator};
use crate::start;
use crate::watch::Watch;
use pairwright_proof::{Item, Slot};

/// A further condition on the pairs left: a choice among them that meets it.
pub(crate) type Confirm<'a> = &'a dyn Fn(&Grid) -> Option<Vec<Item>>;

/// The least largest key and a choice that has it.
pub(crate) struct Held {
    pub(crate) key: i64,
    pub(crate) choice: Vec<Item>,
}

/// The least T such that the pairs with a key of at most T still hold a choice that uses all of `must` and is
/// confirmed; `None` if even all pairs do not. Ended early, the best met.
pub(crate) fn least(
    grid: &Grid,
    must: &Bits,
    key: impl Fn(Slot, Item) -> i64,
    confirm: Option<Confirm<'_>>,
    watch: &Watch<'_>,
) -> Option<Held> {
    let test = |grid: &Grid| -> Result<Held, Option<Violator>> {
        let mut matching = Matching::empty(grid);
        matching.complete(grid, must).map_err(Some)?;
        let choice = confirm.map_or_else(|| Some(matching.choice()), |confirm| confirm(grid)).ok_or(None)?;
        let chosen = grid.slots().zip(choice.iter().copied());
        Ok(Held { key: chosen.map(|(slot, item)| key(slot, item)).max().unwrap_or(0), choice })
    };
    let mut held = test(grid).ok()?;
    if let Some(Ok(given)) = start::given(grid, must).map(|only| test(&only)) {
        held = given;
    }
    let smallest = |slot| grid.items_of(slot).map(|item| key(slot, item)).min();
    let mut low = grid.slots().filter_map(smallest).max().unwrap_or(held.key);
    let mut at_low = true;
    while low < held.key && watch.goes_on() {
        let limit = if at_low { low } else { low + (held.key - low) / 2 };
        at_low = !at_low;
        let mut below = grid.clone();
        below.retain(|slot, item| key(slot, item) <= limit);
        match test(&below) {
            Ok(better) => held = better,
            Err(stuck) => {
                low = next_key(grid, &key, limit, stuck.as_ref()).map_or(held.key, |next| next.min(held.key));
            }
        }
    }
    Some(held)
}

/// The smallest key above `limit` that could help.
fn next_key(grid: &Grid, key: impl Fn(Slot, Item) -> i64, limit: i64, stuck: Option<&Violator>) -> Option<i64> {
    grid.pairs()
        .filter(|&(slot, item)| stuck.is_none_or(|stuck| stuck.is_broken_by(slot, item)))
        .map(|(slot, item)| key(slot, item))
        .filter(|&key| key > limit)
        .min()
}
