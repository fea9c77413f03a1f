//! `only`: a match that serves some positions of a kind.

use pairwright_engine::job::{CYLINDER, VALVE};

use crate::diagnostic::{Code, Diagnostic};
use crate::noun::plural;

use super::homes;
use super::job_file::{At, Draft, MatchDraft};
use super::load::Reading;
use super::nearest::{listed, remedy};
use super::positions::PositionsRead;
use super::resolve::{Names, Resolved};

/// The columns of words that the file of positions of `kind` may have: those that a match names, and the usual ones.
pub(super) fn columns(draft: &Draft, kind: &str) -> Vec<String> {
    let here = draft.matches.iter().filter(|one| homes::of_match(draft, one) == Some(kind));
    let mut columns: Vec<String> = here.flat_map(|one| &one.only).map(|(column, _)| column.value.clone()).collect();
    if kind == VALVE {
        columns.extend(["port", CYLINDER].map(str::to_owned));
    }
    columns.sort_unstable();
    columns.dedup();
    columns
}

/// The positions of `read` that a match with `only` serves; `None` for all of them, or after a report.
pub(super) fn served(
    names: &Names<'_>,
    draft: &MatchDraft,
    read: &PositionsRead,
    reading: &mut Reading,
) -> Option<Vec<usize>> {
    let mut served: Vec<usize> = (0..read.positions.len()).collect();
    for (column, word) in &draft.only {
        let Some(words) = read.words(&column.value) else {
            if !read.may_hide_a_column() {
                reading.found.push(no_column(names, read, column));
            }
            return None;
        };
        served.retain(|&at| words[at].as_deref() == Some(word.value.as_str()));
        if served.is_empty() {
            if read.places.trusted {
                reading.found.push(no_position(names, read, (column, word), words));
            }
            return None;
        }
    }
    (!draft.only.is_empty()).then_some(served)
}

/// Notes positions that no match serves, where `only` makes a match leave some of their kind out.
pub(super) fn note_unserved(names: &Names<'_>, resolved: &[Resolved<'_>], reading: &mut Reading) {
    if resolved.len() < names.draft.matches.len() || !reading.found.is_sound() {
        // A match that was refused may serve them, or one that is to be corrected.
        return;
    }
    let mut said: Vec<&str> = Vec::new();
    for one in resolved {
        let read = one.at;
        let kind = read.positions.kind.as_str();
        let Some((column, _)) = one.draft.only.first().filter(|_| read.places.trusted && !said.contains(&kind)) else {
            continue;
        };
        said.push(kind);
        let is_served = |at: usize| resolved.iter().any(|other| other.served.kind == kind && other.serves(at));
        let ids = read.positions.ids.iter().enumerate();
        let left: Vec<&str> = ids.filter(|(at, _)| !is_served(*at)).map(|(_, id)| id.as_str()).collect();
        let get = match left.len() {
            0 => continue,
            1 => format!("1 {kind} gets"),
            many => format!("{many} {} get", plural(kind)),
        };
        let message = format!("{get} nothing: no match serves {}", listed(&left));
        let item = Diagnostic::note(Code::NoteUnserved, message)
            .at(names.place(column), "")
            .help("add a match that serves the rest; if that is to stay as it is, nothing follows");
        reading.found.push(item);
    }
}

fn no_column(names: &Names<'_>, read: &PositionsRead, column: &At<String>) -> Diagnostic {
    let kind = &read.positions.kind;
    let known = read.word_columns();
    let help = match &read.positions.file {
        None => {
            format!(
                "name a file of the {} under `[positions]`, with a column of words such as `{}`",
                plural(kind),
                column.value
            )
        }
        Some(file) if known.is_empty() => format!("add the column to `{file}`, with a word for each {kind}"),
        Some(file) => format!(
            "add the column to `{file}`, with a word for each {kind}; {}",
            remedy(&column.value, &known, "it has the columns of words")
        ),
    };
    Diagnostic::wrong(Code::MatchOnly, format!("the {} have no column of words `{}`", plural(kind), column.value))
        .at(names.place(column), "")
        .help(help)
}

fn no_position(
    names: &Names<'_>,
    read: &PositionsRead,
    (column, word): (&At<String>, &At<String>),
    words: &[Option<String>],
) -> Diagnostic {
    let kind = &read.positions.kind;
    let mut known: Vec<&str> = Vec::new();
    for word in words.iter().flatten() {
        if !known.contains(&word.as_str()) {
            known.push(word);
        }
    }
    let help = match known[..] {
        [] => format!("the column `{}` is empty: write a word for each {kind}", column.value),
        _ if known.contains(&word.value.as_str()) => {
            format!("no {kind} has all the words of `only`; the column `{}` has {}", column.value, listed(&known))
        }
        _ => remedy(&word.value, &known, &format!("the column `{}` has", column.value)),
    };
    let message = format!("no {kind} has `{}` in its column `{}`", word.value, column.value);
    Diagnostic::wrong(Code::MatchOnly, message).at(names.place(word), "").help(help)
}
