//! Whether it matters which part of a bundle plays which role.

use std::collections::BTreeMap;

use super::super::question::Question;
use crate::job::{FitName, Next};

/// Whether the roles of one kind enter everything that the match asks about alike, so that exchanging two parts of a
/// position changes nothing.
pub(in crate::plan) fn alike(question: &Question<'_>) -> bool {
    let matching = question.matching;
    let pinned = matching.keep.iter().chain(&matching.bar).next().is_some();
    let nexts = matching.then.iter().flatten().filter_map(|next| match next {
        Next::Spread(fit) => Some(*fit),
        Next::Moves | Next::Price | Next::Bought => None,
    });
    let limits = question.limits.iter().map(|limit| limit.fit);
    let mut asked = limits.chain(nexts).chain([matching.aim.fit]);
    !pinned && asked.all(|fit| takes_alike(question, fit))
}

fn takes_alike(question: &Question<'_>, fit: FitName) -> bool {
    if fit == FitName::Mass {
        return true;
    }
    // A built-in fit reads the first part of its kind.
    let Some(declared) = question.job.fits.get(fit) else { return false };
    let mut by_role = question.matching.place.iter().map(|role| {
        let mut columns: BTreeMap<&str, i64> = BTreeMap::new();
        for term in declared.terms.iter().filter(|term| term.owner == role.name) {
            *columns.entry(&term.column).or_default() += term.times;
        }
        columns.retain(|_, times| *times != 0);
        columns
    });
    let first = by_role.next();
    by_role.all(|columns| Some(columns) == first)
}
