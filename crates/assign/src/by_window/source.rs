//! Where the pairs of windows come from.

use crate::allowed::Allowed;
use crate::spread::Pair;
use pairwright_proof::{Item, Slot};

/// The pairs of every window, and perhaps others.
pub(super) enum Source<'a, 't> {
    /// All that can matter, slots ascending, items ascending.
    Pairs(&'a [Pair]),
    /// The whole table, whose pairs have yet to be asked for.
    Table(&'a Allowed<'t>),
}

impl Source<'_, '_> {
    /// Shows a slot's pairs, items ascending, until `look` says that it is enough.
    pub(super) fn show(&self, slot: Slot, mut look: impl FnMut(Item, i64) -> bool) {
        match self {
            Self::Pairs(pairs) => {
                let start = pairs.partition_point(|pair| pair.slot < slot);
                for pair in pairs[start..].iter().take_while(|pair| pair.slot == slot) {
                    if look(pair.item, pair.value) {
                        return;
                    }
                }
            }
            Self::Table(allowed) => {
                for (item, value) in allowed.cells(slot) {
                    if look(item, value) {
                        return;
                    }
                }
            }
        }
    }
}
