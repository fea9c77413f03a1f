//! The pairs inside some windows.

use super::places::Places;
use super::source::Source;
use crate::allowed::Allowed;
use pairwright_proof::{Item, Slot};

/// The items of every slot inside a window, slot after slot, items ascending.
#[derive(Clone, Default)]
pub(super) struct Inside {
    items: Vec<Item>,
    ends: Vec<usize>,
}

impl Inside {
    pub(super) fn rows(&self) -> impl Iterator<Item = (Slot, &[Item])> {
        let starts = std::iter::once(0).chain(self.ends.iter().copied());
        let rows = starts.zip(&self.ends).map(|(start, &end)| &self.items[start..end]);
        (0..).map(Slot::new).zip(rows)
    }
}

/// The pairs of every window; lower ends ascending.
pub(super) fn gather(source: &Source<'_, '_>, allowed: &Allowed<'_>, starts: &[i64], width: i64) -> Vec<Inside> {
    let mut windows = vec![Inside::default(); starts.len()];
    let places = Places::new(starts, width);
    for slot in allowed.slots() {
        source.show(slot, |item, value| {
            let holding = places.holding(value);
            if !holding.is_empty() && allowed.has(slot, item) {
                for inside in &mut windows[holding] {
                    inside.items.push(item);
                }
            }
            false
        });
        for inside in &mut windows {
            inside.ends.push(inside.items.len());
        }
    }
    windows
}
