//! Several parts of one kind a position: what `as` calls them, and what may be asked of them.

use pairwright_engine::job::{FitName, Next, Term};

use crate::diagnostic::{Code, Diagnostic};

use super::job_file::{At, FileDraft, MatchDraft, is_reserved};
use super::kinds::KINDS;
use super::load::Reading;
use super::nearest::listed;
use super::resolve::{Names, Resolved};

/// A position takes at most so many parts of one kind.
const MOST: usize = 4;

/// Reports names and kinds of a `place` that do not go together.
pub(super) fn check_place(names: &Names<'_>, draft: &MatchDraft, reading: &mut Reading) {
    for (at, (kind, called)) in draft.place.iter().zip(&draft.called).enumerate() {
        let item = match called {
            Some(name) => called_so(names, draft, (at, kind, name)),
            None => named_twice(names, draft, (at, kind)),
        };
        if let Some(item) = item {
            reading.found.push(item);
        }
    }
    alone(names, draft, reading);
}

/// The places among those before `at` that have the same kind.
fn same_kind<'d>(draft: &'d MatchDraft, at: usize, kind: &At<String>) -> Option<&'d At<String>> {
    draft.place[..at].iter().find(|first| first.value == kind.value)
}

/// A kind that stands twice in a `place`, once at least without a name.
fn named_twice(names: &Names<'_>, draft: &MatchDraft, (at, kind): (usize, &At<String>)) -> Option<Diagnostic> {
    let same = |other: usize| other != at && draft.place[other].value == kind.value;
    let other = (0..draft.place.len()).filter(|&other| same(other));
    // Of two without a name the second one is reported, else the one without.
    let first = other.into_iter().find(|&other| other < at || draft.called[other].is_some())?;
    let help = if KINDS.contains(&kind.value.as_str()) {
        "name each kind once".to_owned()
    } else {
        format!(
            "name the kind once, or say what each of them is called: \
             `place = [{{ kind = \"{0}\", as = \"upper\" }}, {{ kind = \"{0}\", as = \"lower\" }}]`",
            kind.value
        )
    };
    let code = if draft.called[first].is_some() { Code::MatchRole } else { Code::MatchKind };
    let (here, there) = if first < at { ("again here", "first here") } else { ("here without `as`", "here with it") };
    let item = Diagnostic::wrong(code, format!("`{}` is named twice", kind.value));
    Some(item.at(names.place(kind), here).at(names.place(&draft.place[first]), there).help(help))
}

/// A name that is taken, or that the kind cannot have.
fn called_so(
    names: &Names<'_>,
    draft: &MatchDraft,
    (at, kind, name): (usize, &At<String>, &At<String>),
) -> Option<Diagnostic> {
    let wrong = |message: String| Diagnostic::wrong(Code::MatchRole, message).at(names.place(name), "");
    if KINDS.contains(&kind.value.as_str()) {
        let help = match same_kind(draft, at, kind) {
            Some(_) => format!("a position takes one {}: name the kind once", kind.value),
            None => format!("write `\"{}\"` alone; `as` tells apart several parts of a kind of your own", kind.value),
        };
        return Some(wrong(format!("a {} goes by the name of its kind", kind.value)).help(help));
    }
    let earlier = draft.called[..at].iter().flatten().find(|first| first.value == name.value);
    if let Some(first) = earlier {
        let item = wrong(format!("two parts are called `{}`", name.value)).at(names.place(first), "first here");
        return Some(item.help("give each part a name of its own, such as `upper` and `lower`"));
    }
    let is = |files: &[FileDraft]| files.iter().any(|file| file.kind.value == name.value);
    let taken = is(&names.draft.stocks) || is(&names.draft.positions) || is_reserved(&name.value);
    if taken && name.value != kind.value {
        let help = format!("call the {} something else", kind.value);
        return Some(wrong(format!("other parts or positions are called `{}` already", name.value)).help(help));
    }
    let known = names.draft.aliases.iter().find(|(known, of)| *known == name.value && *of != kind.value);
    if let Some((_, other)) = known {
        let message = format!("`{}` is a {} here and a {other} in another place", name.value, kind.value);
        return Some(wrong(message).help("let a name stand for one kind throughout the job"));
    }
    (same_kind(draft, at, kind).is_some() && name.value == kind.value).then(|| {
        wrong(format!("one of several `{}` cannot be called `{}`", kind.value, name.value))
            .help("give each of them a name of its own, such as `upper` and `lower`")
    })
}

/// What is not served with several parts of one kind a position: other kinds, too many of them.
fn alone(names: &Names<'_>, draft: &MatchDraft, reading: &mut Reading) {
    let count = |kind: &At<String>| draft.place.iter().filter(|other| other.value == kind.value).count();
    let Some(kind) = draft.place.iter().find(|kind| count(kind) > 1) else { return };
    if KINDS.contains(&kind.value.as_str()) || draft.called.iter().any(Option::is_none) {
        // Which of them is meant is not known; that is reported.
        if draft.place.iter().all(|other| other.value == kind.value) || KINDS.contains(&kind.value.as_str()) {
            return;
        }
    }
    let several = format!("several {}s a position", kind.value);
    if count(kind) > MOST {
        let item =
            Diagnostic::wrong(Code::MatchRole, format!("{} {}s a position are too many", count(kind), kind.value))
                .at(names.place(kind), "")
                .help(format!("a position takes at most {MOST} parts of one kind"));
        reading.found.push(item);
    }
    if let Some(other) = draft.place.iter().find(|other| other.value != kind.value) {
        let item =
            Diagnostic::wrong(Code::MatchRole, format!("{several} and `{}` are not chosen together yet", other.value))
                .at(names.place(other), "")
                .at(names.place(kind), several.clone())
                .help(format!("place `{}` in a match of its own", other.value));
        reading.found.push(item);
    }
}

/// Reports fits that a match asks for and that name its parts otherwise than it does, and parts on which nothing hangs.
pub(super) fn check_fits(names: &Names<'_>, resolved: &Resolved<'_>, reading: &mut Reading) {
    let draft = resolved.draft;
    if names.draft.aliases_hidden || names.draft.declared.refused {
        return;
    }
    let (mut read, mut reads_all): (Vec<&str>, bool) = (Vec::new(), draft.aim.is_none());
    for (fit, span) in asked(resolved) {
        let Some(declared) = names.draft.declared.fits.get(fit) else {
            reads_all = true;
            continue;
        };
        for term in &declared.terms {
            read.push(&term.owner);
            if let Some((message, help)) = strange_term(names, resolved, &declared.name, term) {
                let item = Diagnostic::wrong(Code::MatchRole, message)
                    .at(names.job.place(span.clone()), format!("asks for {}", declared.name))
                    .help(help);
                reading.found.push(item);
                return;
            }
        }
    }
    let place = &resolved.matching.place;
    let unread = place.iter().position(|role| !read.contains(&role.name.as_str()));
    let unread = unread.filter(|_| !reads_all && !resolved.matching.of_one_kind().is_empty());
    if let Some(called) = unread.and_then(|at| draft.called.get(at)?.as_ref()) {
        let message = format!("nothing that this match asks for depends on `{}`", called.value);
        let help =
            format!("let a fit add up a column of `{}`, or place one {} a position", called.value, place[0].kind);
        reading.found.push(Diagnostic::wrong(Code::MatchRole, message).at(names.place(called), "").help(help));
    }
}

/// What is wrong with a term of a fit, and what to do, where the match calls its parts otherwise.
fn strange_term(names: &Names<'_>, resolved: &Resolved<'_>, fit: &str, term: &Term) -> Option<(String, String)> {
    let place = &resolved.matching.place;
    let kind = names.draft.kind_of(&term.owner);
    let of_kind: Vec<&str> = place.iter().filter(|role| role.kind == kind).map(|role| role.name.as_str()).collect();
    if of_kind.contains(&term.owner.as_str()) || of_kind.is_empty() && kind == term.owner {
        return None;
    }
    let summed = format!("`{fit}` adds up `{}.{}`", term.owner, term.column);
    if of_kind.is_empty() {
        let roles: Vec<&str> = place.iter().map(|role| role.name.as_str()).collect();
        let help = format!("the match places {}; ask for another fit, or place the part", listed(&roles));
        return Some((format!("{summed}, and this match places no `{}`", term.owner), help));
    }
    let terms: Vec<String> = of_kind.iter().map(|name| format!("{name}.{}", term.column)).collect();
    let terms: Vec<&str> = terms.iter().map(String::as_str).collect();
    let help = format!("a fit takes the names that `place` gives: write {}", listed(&terms));
    Some((format!("{summed}, and no part of this match is called `{}`", term.owner), help))
}

/// The fits that a match asks for, and where it does.
fn asked(resolved: &Resolved<'_>) -> Vec<(FitName, std::ops::Range<usize>)> {
    let draft = resolved.draft;
    let aim = draft.aim.iter().map(|aim| (aim.value.fit, aim.span.clone()));
    let limits = draft.limits.iter().map(|limit| (limit.asked.fit, limit.span.clone()));
    let nexts = draft.then.iter().flatten().filter_map(|next| match next.value {
        Next::Spread(fit) => Some((fit, next.span.clone())),
        Next::Moves | Next::Price | Next::Bought => None,
    });
    let columns = resolved.served.limits.iter().filter(|limit| limit.values.iter().any(Option::is_some));
    let columns = columns.map(|limit| (limit.fit, draft.span.clone()));
    aim.chain(limits).chain(nexts).chain(columns).collect()
}
