//! Which kind of positions a stock goes to, and which a match serves.

use pairwright_engine::job::CYLINDER;

use super::job_file::{Draft, MatchDraft};
use super::kinds::on_banks;

/// Where parts of a kind go unless the job says otherwise.
const USUAL: [(&str, &str); 3] = [("piston", CYLINDER), ("rod", CYLINDER), ("rocker", "valve")];

/// The kinds of positions that the job has: cylinders where it has banks, and one for every positions file.
pub(super) fn kinds(draft: &Draft) -> Vec<&str> {
    let files = draft.positions.iter().map(|file| file.kind.value.as_str());
    let mut kinds: Vec<&str> = if draft.banks.is_empty() { Vec::new() } else { vec![CYLINDER] };
    kinds.extend(files.filter(|kind| *kind != CYLINDER || draft.banks.is_empty()));
    kinds
}

/// The kind of positions that the stock of `kind` goes to: what a match that places it says, else the only kind there
/// is, else the usual one; `None` where that is not there either.
pub(super) fn of_stock<'d>(draft: &'d Draft, kind: &str) -> Option<&'d str> {
    if on_banks(kind) {
        return Some(CYLINDER);
    }
    let places = |one: &&MatchDraft| one.place.iter().any(|placed| placed.value == kind);
    let kinds = kinds(draft);
    let mut said = draft.matches.iter().filter(places).filter_map(|one| one.positions.as_ref());
    if let Some(said) = said.find(|said| kinds.contains(&said.value.as_str())) {
        return Some(&said.value);
    }
    if let [only] = kinds[..] {
        return Some(only);
    }
    let usual = USUAL.iter().find(|(known, _)| *known == kind)?.1;
    kinds.into_iter().find(|known| *known == usual)
}

/// The kind of positions that a match serves: what it says, else where the first of its kinds goes.
pub(super) fn of_match<'d>(draft: &'d Draft, one: &'d MatchDraft) -> Option<&'d str> {
    match &one.positions {
        Some(said) => Some(&said.value),
        None => of_stock(draft, &one.place.first()?.value),
    }
}
