//! Matches with their names resolved: kinds to stocks, labels to indices.

use std::collections::HashMap;

use pairwright_engine::job::{Matching, Pin, Role};

use crate::diagnostic::{Code, Diagnostic, Place, Source};

use super::job_file::{At, Draft, MatchDraft, PinDraft, Section};
use super::kinds::KINDS;
use super::load::Reading;
use super::names::Ids;
use super::nearest::{listed, remedy};
use super::positions::Cylinders;
use super::stock::{StockRead, unknown_part};

/// Kinds that a match can place.
const PLACEABLE: &[&str] = KINDS;

/// Kinds that later versions place.
const LATER: &[&str] = &["rocker", "shell", "shim", "valve", "spring", "pushrod", "bearing"];

/// Everything a match can name.
pub(super) struct Names<'a> {
    pub(super) job: &'a Source,
    pub(super) draft: &'a Draft,
    pub(super) cylinders: &'a Cylinders,
    pub(super) stocks: &'a [StockRead],
    pub(super) ids: &'a [Ids<'a>],
}

/// A resolved match and the draft it came from.
pub(super) struct Resolved<'a> {
    pub(super) matching: Matching,
    pub(super) draft: &'a MatchDraft,
}

impl<'a> Names<'a> {
    pub(super) fn place(&self, at: &At<String>) -> Place {
        self.job.place(at.span.clone())
    }

    pub(super) fn stock(&self, kind: &str) -> Option<&'a StockRead> {
        self.stocks.iter().find(|read| read.stock.kind == kind)
    }

    fn ids(&self, kind: &str) -> Option<&'a Ids<'a>> {
        self.ids.iter().find(|ids| ids.kind == kind)
    }
}

/// Resolves every match; one whose aim or kinds were refused is left out.
pub(super) fn matches<'a>(names: &Names<'a>, reading: &mut Reading) -> Vec<Resolved<'a>> {
    check_names(names, reading);
    check_kinds_once(names, reading);
    names.draft.matches.iter().filter_map(|draft| one(names, draft, reading)).collect()
}

fn check_names(names: &Names<'_>, reading: &mut Reading) {
    let mut firsts: HashMap<&str, &At<String>> = HashMap::new();
    for draft in &names.draft.matches {
        let Some(first) = firsts.insert(&draft.name.value, &draft.name) else { continue };
        let item = Diagnostic::wrong(Code::MatchName, format!("two matches are called `{}`", draft.name.value))
            .at(names.place(&draft.name), "again here")
            .at(names.place(first), "first here")
            .help("give each match a name of its own");
        reading.found.push(item);
    }
}

/// Each part is used once over the job, and every kind goes to the same cylinders.
fn check_kinds_once(names: &Names<'_>, reading: &mut Reading) {
    let mut firsts: HashMap<&str, (usize, &At<String>)> = HashMap::new();
    for (index, draft) in names.draft.matches.iter().enumerate() {
        for kind in &draft.place {
            let Some(&(other, first)) = firsts.get(kind.value.as_str()) else {
                firsts.insert(&kind.value, (index, kind));
                continue;
            };
            let item = if other == index {
                Diagnostic::wrong(Code::MatchKind, format!("`{}` is named twice", kind.value))
                    .help("name each kind once")
            } else {
                let message = format!("two matches place the same kind, `{}`, in the same cylinders", kind.value);
                Diagnostic::wrong(Code::MatchSameParts, message)
                    .help("keep one of them; put what both ask for into it, in `then` and `limits`")
            };
            reading.found.push(item.at(names.place(kind), "again here").at(names.place(first), "first here"));
        }
    }
}

fn one<'a>(names: &Names<'a>, draft: &'a MatchDraft, reading: &mut Reading) -> Option<Resolved<'a>> {
    let mut place = Vec::with_capacity(draft.place.len());
    let mut sound = true;
    for kind in &draft.place {
        if check_kind(names, kind, reading) {
            place.push(Role { kind: kind.value.clone() });
        } else {
            sound = false;
        }
    }
    let keep = pins(names, draft, &draft.keep, &place, reading);
    let bar = pins(names, draft, &draft.bar, &place, reading);
    check_kept_once(names, &keep, reading);
    check_keep_bar(names, &keep, &bar, reading);
    check_keep_fits(names, &place, &keep, reading);
    let aim = draft.aim.as_ref()?.value;
    let line = names.job.place(draft.span.clone()).line;
    let bare = |pins: Vec<(Pin, &PinDraft)>| pins.into_iter().map(|(pin, _)| pin).collect();
    let matching = Matching {
        name: draft.name.value.clone(),
        place,
        gasket_per_bank: false,
        aim,
        then: draft.then.as_ref().map(|all| all.iter().map(|next| next.value).collect()),
        limits: draft.limits.iter().map(|limit| limit.asked).collect(),
        keep: bare(keep),
        bar: bare(bar),
        line,
    };
    sound.then_some(Resolved { matching, draft })
}

fn check_kind(names: &Names<'_>, kind: &At<String>, reading: &mut Reading) -> bool {
    let item = if LATER.contains(&kind.value.as_str()) {
        Diagnostic::wrong(Code::JobNotYet, format!("placing `{}` is not supported yet", kind.value))
            .help(format!("take it out for now; a match can place {}", listed(PLACEABLE)))
    } else if !KINDS.contains(&kind.value.as_str()) {
        Diagnostic::wrong(Code::MatchKind, format!("there is no kind `{}` to place", kind.value)).help(remedy(
            &kind.value,
            PLACEABLE,
            "a match can place",
        ))
    } else if names.stock(&kind.value).is_none() {
        if names.draft.is_refused(Section::Stock) {
            return false;
        }
        Diagnostic::wrong(Code::MatchKind, format!("there is no stock of `{}` to place from", kind.value))
            .help(format!("add `{0} = \"{0}s.csv\"` under `[stock]`", kind.value))
    } else {
        return true;
    };
    reading.found.push(item.at(names.place(kind), ""));
    false
}

fn pins<'a>(
    names: &Names<'_>,
    draft: &MatchDraft,
    pins: &'a [PinDraft],
    place: &[Role],
    reading: &mut Reading,
) -> Vec<(Pin, &'a PinDraft)> {
    let mut all = Vec::with_capacity(pins.len());
    for pin in pins {
        // Both names are looked up, so that both are reported.
        let position = position(names, &pin.position, reading);
        let role = role(names, draft, pin, place, reading);
        let part = role.and_then(|role| part(names, &place[role].kind, &pin.part, reading));
        if let (Some(position), Some(role), Some(part)) = (position, role, part) {
            all.push((Pin { position, part, role }, pin));
        }
    }
    all
}

fn position(names: &Names<'_>, label: &At<String>, reading: &mut Reading) -> Option<usize> {
    let places = &names.cylinders.places;
    let known = places.positions.get(&label.value).copied();
    if known.is_none() && places.trusted {
        let item = Diagnostic::wrong(Code::PositionUnknown, format!("there is no cylinder `{}`", label.value))
            .at(names.place(label), "")
            .help(places.cylinders_are());
        reading.found.push(item);
    }
    known
}

fn role(names: &Names<'_>, draft: &MatchDraft, pin: &PinDraft, place: &[Role], reading: &mut Reading) -> Option<usize> {
    let Some(kind) = &pin.kind else { return (place.len() == 1).then_some(0) };
    let known = place.iter().position(|role| role.kind == kind.value);
    if known.is_none() && place.len() == draft.place.len() {
        let kinds: Vec<_> = place.iter().map(|role| role.kind.as_str()).collect();
        let item = Diagnostic::wrong(Code::MatchKind, format!("this match does not place `{}`", kind.value))
            .at(names.place(kind), "")
            .help(remedy(&kind.value, &kinds, "it places"));
        reading.found.push(item);
    }
    known
}

fn part(names: &Names<'_>, kind: &str, label: &At<String>, reading: &mut Reading) -> Option<usize> {
    let ids = names.ids(kind)?;
    let known = ids.find(&label.value);
    if known.is_none() && ids.trusted {
        reading.found.push(unknown_part(ids, &label.value).at(names.place(label), ""));
    }
    known
}

/// A part goes to one position, and a position takes one part of a kind.
fn check_kept_once(names: &Names<'_>, keep: &[(Pin, &PinDraft)], reading: &mut Reading) {
    for (at, (pin, draft)) in keep.iter().enumerate() {
        let earlier = &keep[..at];
        let same = |other: &Pin| other.role == pin.role;
        let twice = earlier.iter().find(|(other, _)| same(other) && other.part == pin.part);
        let both = earlier.iter().find(|(other, _)| same(other) && other.position == pin.position);
        let (message, first) = match (twice, both) {
            (Some((other, _)), _) if other.position == pin.position => continue,
            (Some((_, first)), _) => (format!("part `{}` is kept in two cylinders", draft.part.value), &first.part),
            (None, Some((_, first))) => {
                (format!("two parts are kept in cylinder `{}`", draft.position.value), &first.part)
            }
            (None, None) => continue,
        };
        let item = Diagnostic::wrong(Code::MatchKeptTwice, message)
            .at(names.place(&draft.part), "again here")
            .at(names.place(first), "first here")
            .help("take one of them out");
        reading.found.push(item);
    }
}

fn check_keep_bar(names: &Names<'_>, keep: &[(Pin, &PinDraft)], bar: &[(Pin, &PinDraft)], reading: &mut Reading) {
    for (pin, kept) in keep {
        for (_, barred) in bar.iter().filter(|(other, _)| other == pin) {
            let (part, position) = (&kept.part.value, &kept.position.value);
            let item = Diagnostic::wrong(
                Code::MatchKeepBar,
                format!("`{part}` is kept in cylinder {position} and barred from it"),
            )
            .at(names.place(&kept.part), "kept here")
            .at(names.place(&barred.part), "barred here")
            .help("take one of them out");
            reading.found.push(item);
        }
    }
}

fn check_keep_fits(names: &Names<'_>, place: &[Role], keep: &[(Pin, &PinDraft)], reading: &mut Reading) {
    for (pin, draft) in keep {
        let Some(read) = place.get(pin.role).and_then(|role| names.stock(&role.kind)) else { continue };
        let bank = names.cylinders.positions.banks.get(pin.position).copied().flatten();
        let Some(part) = read.stock.parts.get(pin.part).filter(|part| !part.may_go(pin.position, bank)) else {
            continue;
        };
        let Some(grid) = &read.grid else { continue };
        let message =
            format!("`{}` is kept in cylinder {}, where its `fits` does not let it go", part.id, draft.position.value);
        let item = Diagnostic::wrong(Code::MatchKeepFits, message)
            .at(names.place(&draft.part), "kept here")
            .at(grid.place(pin.part, "fits"), "where it may go")
            .help("take the `keep` out, or add the cylinder to `fits`");
        reading.found.push(item);
    }
}
