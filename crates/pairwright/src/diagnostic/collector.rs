//! Collects findings without repeating itself.

use std::collections::HashMap;

use super::{Code, Diagnostic, Sources};

/// More findings of one kind in one column than this are counted, not listed: a column in the wrong
/// unit is one mistake, however many rows it has.
const LISTED: usize = 10;

/// Findings so far.
#[derive(Debug, Default)]
pub(crate) struct Collector {
    items: Vec<Diagnostic>,
    seen: HashMap<Kind, Count>,
}

/// What counts as the same mistake: the code, the file and the column.
type Kind = (Code, String, Option<String>);

#[derive(Debug, Default)]
struct Count {
    found: usize,
    last: usize,
}

impl Collector {
    pub(crate) fn push(&mut self, item: Diagnostic) {
        let file = item.place().map(|place| place.file.clone()).unwrap_or_default();
        let count = self.seen.entry((item.code, file, item.cell.clone())).or_default();
        count.found += 1;
        if item.cell.is_some() && count.found > LISTED {
            self.items[count.last].more += 1;
        } else if !self.items.contains(&item) {
            count.last = self.items.len();
            self.items.push(item);
        }
    }

    /// Whether nothing was found yet that is [wrong](super::Class::Wrong).
    pub(crate) fn is_sound(&self) -> bool {
        !self.items.iter().any(|item| item.class == super::Class::Wrong)
    }

    /// Drops what `keep` does not want.
    pub(crate) fn retain(&mut self, keep: impl FnMut(&Diagnostic) -> bool) {
        self.items.retain(keep);
        self.seen.clear();
    }

    /// The findings in the order of files and lines.
    pub(crate) fn finish(self, sources: &Sources) -> Vec<Diagnostic> {
        let mut items = self.items;
        items.sort_by_cached_key(|item| item.place().map(|place| (sources.rank(&place.file), place.span.start)));
        items
    }
}
