//! Which kind of positions a match serves.

use crate::diagnostic::{Code, Diagnostic};
use crate::noun::plural;

use super::job_file::{MatchDraft, Section};
use super::load::Reading;
use super::nearest::{listed, remedy};
use super::positions::PositionsRead;
use super::resolve::Names;
use super::{homes, kinds};

/// All positions of the kind that the match serves; `None` after a report, or where one would be noise.
pub(super) fn of<'a>(
    names: &Names<'a>,
    draft: &MatchDraft,
    sound: bool,
    reading: &mut Reading,
) -> Option<&'a PositionsRead> {
    let known = homes::kinds(names.draft);
    let hidden = names.draft.is_refused(Section::Positions) || names.draft.is_refused(Section::Banks);
    let home = homes::of_match(names.draft, draft);
    let read =
        home.and_then(|home| names.sets.of(home)).filter(|_| hidden || home.is_some_and(|home| known.contains(&home)));
    if let Some(read) = read {
        check_others(names, draft, &read.positions.kind, reading);
        return Some(read);
    }
    if hidden || known.is_empty() || !sound {
        // What is missing has been reported.
        return None;
    }
    let item = match (&draft.positions, draft.place.first()) {
        (Some(said), _) => Diagnostic::wrong(Code::MatchPositions, format!("there are no positions `{}`", said.value))
            .at(names.place(said), "")
            .help(remedy(&said.value, &known, "the job has the positions")),
        (None, Some(kind)) => {
            let message = format!("match `{}` does not say which positions it serves", draft.name.value);
            Diagnostic::wrong(Code::MatchPositions, message).at(names.place(kind), "where does it go?").help(format!(
                "add `positions = \"{}\"` to the match; the job has the positions {}",
                known.last().copied().unwrap_or_default(),
                listed(&known)
            ))
        }
        (None, None) => return None,
    };
    reading.found.push(item);
    None
}

/// Reports kinds of the match that go to positions of another kind.
fn check_others(names: &Names<'_>, draft: &MatchDraft, home: &str, reading: &mut Reading) {
    for kind in &draft.place {
        let Some(other) = homes::of_stock(names.draft, &kind.value).filter(|other| *other != home) else { continue };
        let message =
            format!("a `{}` goes to the {}, and this match serves the {}", kind.value, plural(other), plural(home));
        let help = if kinds::on_banks(&kind.value) {
            format!("take `{}` out of this match; heads and gaskets go on banks of cylinders", kind.value)
        } else {
            "a stock goes to positions of one kind: place it in a match of its own, or correct `positions`".to_owned()
        };
        let mut item = Diagnostic::wrong(Code::MatchPositions, message).at(names.place(kind), "");
        if let Some(said) = &draft.positions {
            item = item.at(names.place(said), "");
        }
        reading.found.push(item.help(help));
    }
}
