//! `place`: what a match places, and what it calls it.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::At;
use super::columns::is_word;
use super::walk::{Entry, Keys, Walk, entries};
use crate::diagnostic::{Code, Diagnostic};
use crate::input::kinds::KINDS;

const PLACED: Keys = Keys { section: "a part to place", known: &["kind", "as"], later: &[] };

const CALLED: &str = "{ kind = \"shell\", as = \"upper\" }";

/// A kind, and what `as` calls the part.
type Placed = (At<String>, Option<At<String>>);

/// The kinds in order, and what each is called where `as` says so.
pub(super) fn read(walk: &mut Walk<'_>, entry: Entry<'_>) -> (Vec<At<String>>, Vec<Option<At<String>>>) {
    let all: Vec<Placed> = match entry.value.get_ref() {
        DeValue::Array(array) if array.is_empty() => {
            let item = Diagnostic::wrong(Code::JobMissingKey, "`place` names nothing to place")
                .at(walk.place(entry.value.span()), "")
                .help(format!("write it as `{}`", walk.place_example()));
            walk.report(item);
            Vec::new()
        }
        DeValue::Array(array) => array.iter().filter_map(|item| one(walk, entry.key, item)).collect(),
        DeValue::Table(_) => one(walk, entry.key, entry.value).into_iter().collect(),
        _ => walk.text(entry, &walk.place_example()).map(|kind| (kind, None)).into_iter().collect(),
    };
    all.into_iter().unzip()
}

/// `"shell"`, or `{ kind = "shell", as = "upper" }`.
fn one(walk: &mut Walk<'_>, key: &str, value: &Spanned<DeValue<'_>>) -> Option<Placed> {
    let DeValue::Table(table) = value.get_ref() else {
        return Some((walk.label(key, value, &walk.place_example())?, None));
    };
    let all = entries(table);
    let mut sound = true;
    for &inner in &all {
        sound &= walk.check_key(inner, &PLACED);
    }
    let find = |name: &str| all.iter().copied().find(|inner| inner.key == name);
    let Some(kind) = find("kind") else {
        let item = Diagnostic::wrong(Code::JobMissingKey, "the part to place has no kind")
            .at(walk.place(value.span()), "")
            .help(format!("write it as `{CALLED}`"));
        walk.report(item);
        return None;
    };
    let kind = walk.text(kind, "kind = \"shell\"");
    let called = match find("as") {
        Some(entry) => Some(name(walk, entry)?),
        None => None,
    };
    Some((kind.filter(|_| sound)?, called))
}

/// The name of a part in its place: it is written into output, plan files and columns of fits.
fn name(walk: &mut Walk<'_>, entry: Entry<'_>) -> Option<At<String>> {
    let name = walk.text(entry, "as = \"upper\"")?;
    if is_word(&name.value) {
        return Some(name);
    }
    let item = Diagnostic::wrong(Code::MatchRole, format!("a part cannot be called `{}`", name.value))
        .at(walk.place(name.span), "")
        .help(
            "write a word of small letters, digits and underscores that starts with a letter, as in `as = \"upper\"`",
        );
    walk.report(item);
    None
}

/// The names that `as` gives in the matches of a job, each with its kind, nothing reported: fits that are read before the
/// matches may use them. Also whether some name is not to be relied on, so that one that a fit uses may be one of those.
pub(super) fn aliases(root: &DeTable<'_>) -> (Vec<(String, String)>, bool) {
    let (mut all, mut hidden): (Vec<(String, String)>, bool) = (Vec::new(), false);
    let Some(DeValue::Array(matches)) = root.get("match").map(Spanned::get_ref) else { return (all, hidden) };
    for place in matches.iter().filter_map(|one| one.get_ref().as_table()?.get("place")) {
        let items: Vec<&DeValue<'_>> = match place.get_ref() {
            DeValue::Array(array) => array.iter().map(Spanned::get_ref).collect(),
            other => vec![other],
        };
        let placed: Vec<(Option<&str>, Option<&str>)> = items.into_iter().map(kind_and_name).collect();
        for (at, &(kind, name)) in placed.iter().enumerate() {
            let again = placed[..at].iter().any(|other| other.1.is_some() && other.1 == name);
            let twice = name.is_none() && placed.iter().filter(|other| other.0 == kind).count() > 1;
            hidden |=
                again || twice || kind.is_none() || name.is_some_and(|name| !is_word(name) || is_taken(root, name));
            if let (Some(kind), Some(name)) = (kind, name)
                && !is_taken(root, name)
            {
                match all.iter().find(|(known, _)| known == name) {
                    Some((_, of)) => hidden |= of != kind,
                    None => all.push((name.to_owned(), kind.to_owned())),
                }
            }
        }
    }
    (all, hidden)
}

fn kind_and_name<'t>(item: &'t DeValue<'t>) -> (Option<&'t str>, Option<&'t str>) {
    let DeValue::Table(table) = item else { return (item.as_str().map(str::trim), None) };
    let text = |key: &str| table.get(key)?.get_ref().as_str().map(str::trim);
    let known = table.keys().all(|key| PLACED.known.contains(&key.get_ref().as_ref()));
    (text("kind").filter(|_| known), text("as"))
}

/// Whether parts or positions are called so.
fn is_taken(root: &DeTable<'_>, name: &str) -> bool {
    let has = |section: &str| root.get(section).and_then(|one| one.get_ref().as_table()?.get(name)).is_some();
    has("stock") || has("positions") || is_reserved(name)
}

/// Names that are parts or positions in any job.
pub(in crate::input) fn is_reserved(name: &str) -> bool {
    KINDS.contains(&name) || ["cylinder", "valve", "bank", "engine"].contains(&name)
}
