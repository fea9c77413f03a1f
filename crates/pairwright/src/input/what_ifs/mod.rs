//! What-ifs with their names resolved.

mod added;
mod cuts;
mod one;
mod stack;

pub(super) use added::{Added, read as read_added};

use std::ops::Range;

use pairwright_engine::job::{Change, WhatIf};

use super::load::Reading;
use super::resolve::{Names, Resolved};

/// A change and where it is asked for.
type Made = (Change, Range<usize>);

/// Resolves every what-if; `added` are the files with more parts, in the order of the what-ifs.
pub(super) fn resolve(
    names: &Names<'_>,
    matches: &[Resolved<'_>],
    added: Vec<Added>,
    reading: &mut Reading,
) -> Vec<WhatIf> {
    let drafts = &names.draft.what_ifs;
    let mut made: Vec<Vec<Made>> = drafts.iter().map(|draft| one::changes(names, matches, draft, reading)).collect();
    added::take(names, added, &mut made, reading);
    let with = stack::resolve(names, reading);
    let matchings = matches.iter().map(|resolved| &resolved.matching).collect();
    stack::check(names, matchings, &with, &made, reading);
    let resolved = drafts.iter().zip(with).zip(made);
    resolved
        .map(|((draft, with), made)| WhatIf {
            name: draft.name.value.clone(),
            with,
            changes: made.into_iter().map(|(change, _)| change).collect(),
            price: draft.price,
            hours: draft.hours,
            line: names.job.place(draft.span.clone()).line,
        })
        .collect()
}
