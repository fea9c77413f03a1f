//! A file is one thing: a stock, positions of one kind, or readings of one sort.

use super::walk::Walk;
use super::{At, Draft, Section};
use crate::diagnostic::{Code, Diagnostic};

/// Reports files that are named for two things, and takes them out of `draft`: which of the two such a file is cannot
/// be known, and read as the other it would be full of errors.
pub(super) fn check(walk: &mut Walk<'_>, draft: &mut Draft) {
    let stocks = draft.stocks.iter().map(|stock| (Section::Stock, &stock.file));
    let positions = draft.positions.iter().map(|file| (Section::Positions, &file.file));
    let deck = draft.deck.iter().map(|deck| (Section::Readings, &deck.file));
    let chambers = draft.chambers.iter().map(|chambers| (Section::Readings, &chambers.file));
    let clearances = draft.clearances.iter().map(|file| (Section::Readings, file));
    let readings = deck.chain(chambers).chain(clearances);
    let mut all: Vec<(Section, At<String>)> =
        stocks.chain(positions).chain(readings).map(|(section, file)| (section, file.clone())).collect();
    all.sort_by_key(|(_, file)| file.span.start);
    let bare = |file: &At<String>| file.value.trim_start_matches("./").to_owned();
    for (at, (section, file)) in all.iter().enumerate() {
        let Some((earlier, first)) = all[..at].iter().find(|(_, first)| bare(first) == bare(file)) else { continue };
        let item = Diagnostic::wrong(Code::FileTwice, format!("`{}` is named for two things", file.value))
            .at(walk.place(file.span.clone()), "again here")
            .at(walk.place(first.span.clone()), "first here")
            .help(if (*section, *earlier) == (Section::Stock, Section::Stock) {
                "keep one of them; where a position takes several parts of one stock, `place` names them, as in \
                 `{ kind = \"shell\", as = \"upper\" }`"
            } else {
                "give each stock, the positions of each kind and each sort of readings a file of its own"
            });
        walk.report(item);
        draft.refuse(*section);
        draft.refuse(*earlier);
        let kept = |other: &At<String>| bare(other) != bare(file);
        draft.stocks.retain(|stock| kept(&stock.file));
        draft.positions.retain(|positions| kept(&positions.file));
        draft.deck.take_if(|deck| !kept(&deck.file));
        draft.chambers.take_if(|chambers| !kept(&chambers.file));
        draft.clearances.take_if(|file| !kept(file));
    }
}
