//! `keep` and `bar` with their names resolved, and where they contradict each other or the parts.

use pairwright_engine::job::{Matching, Part, Pin, Positions, Scope};

use crate::diagnostic::{Code, Diagnostic, Place};

use super::job_file::{At, MatchDraft, PinDraft};
use super::load::Reading;
use super::nearest::{listed, remedy};
use super::positions::PositionsRead;
use super::resolve::{Names, Resolved};
use super::stock::unknown_part;

/// Resolves `keep` and `bar` of `draft` into `matching`, whose `place` is known.
///
/// `at` are all positions of the kind that the match serves, and those that it does serve.
pub(super) fn resolve(
    names: &Names<'_>,
    draft: &MatchDraft,
    at: (&PositionsRead, &Positions),
    matching: &mut Matching,
    reading: &mut Reading,
) {
    let pins = Pins { names, draft, matching, all: at.0, served: at.1 };
    let keep = pins.read(&draft.keep, reading);
    let bar = pins.read(&draft.bar, reading);
    pins.check_kept_once(&keep, reading);
    pins.check_keep_bar(&keep, &bar, reading);
    pins.check_keep_fits(&keep, reading);
    let bare = |pins: Vec<Drafted<'_>>| pins.into_iter().map(|(pin, _)| pin).collect();
    (matching.keep, matching.bar) = (bare(keep), bare(bar));
}

/// Resolves what a what-if fixes in a match that is resolved already.
pub(super) fn resolve_fixed(
    names: &Names<'_>,
    resolved: &Resolved<'_>,
    fixed: &[PinDraft],
    reading: &mut Reading,
) -> Vec<Pin> {
    let (matching, draft) = (&resolved.matching, resolved.draft);
    let pins = Pins { names, draft, matching, all: resolved.at, served: &resolved.served };
    let fixed = pins.read(fixed, reading);
    // What the match itself keeps and bars was reported with it.
    let mut known = Reading::default();
    let mut keep = pins.read(&draft.keep, &mut known);
    let bar = pins.read(&draft.bar, &mut known);
    pins.check_keep_bar(&fixed, &bar, reading);
    pins.check_keep_fits(&fixed, reading);
    keep.extend(fixed.iter().copied());
    pins.check_kept_once(&keep, reading);
    fixed.into_iter().map(|(pin, _)| pin).collect()
}

/// A pin and what it was read from.
type Drafted<'d> = (Pin, &'d PinDraft);

struct Pins<'a> {
    names: &'a Names<'a>,
    draft: &'a MatchDraft,
    matching: &'a Matching,
    all: &'a PositionsRead,
    served: &'a Positions,
}

impl Pins<'_> {
    fn read<'d>(&self, pins: &'d [PinDraft], reading: &mut Reading) -> Vec<Drafted<'d>> {
        let mut all = Vec::with_capacity(pins.len());
        for pin in pins {
            let role = self.role(pin, reading);
            // Both names are looked up, so that both are reported.
            let scope = role.map_or(Scope::Position, |role| self.scope(role));
            let position = if role.is_none() { None } else { self.position(pin, scope, reading) };
            let part = role.and_then(|role| self.part(role, &pin.part, reading));
            if let (Some(position), Some(role), Some(part)) = (position, role, part) {
                all.push((Pin { position, part, role }, pin));
            }
        }
        all
    }

    fn scope(&self, role: usize) -> Scope {
        self.matching.place.get(role).map_or(Scope::Position, |role| self.matching.scope(&role.kind))
    }

    fn position(&self, pin: &PinDraft, scope: Scope, reading: &mut Reading) -> Option<usize> {
        let places = &self.all.places;
        let Some(label) = &pin.position else {
            if scope != Scope::Engine {
                let item = Diagnostic::wrong(Code::MatchKind, "each bank may have a gasket of its own here")
                    .at(self.names.place(&pin.part), "on which bank?")
                    .help(format!("name the bank: `{{ gasket = {{ left = \"{}\" }} }}`", pin.part.value));
                reading.found.push(item);
            }
            return (scope == Scope::Engine).then_some(0);
        };
        let (known, what, are) = match scope {
            Scope::Position => (places.positions.get(&label.value), places.kind.as_str(), places.positions_are()),
            Scope::Bank => (places.banks.get(&label.value), "bank", places.banks_are()),
            Scope::Engine => {
                let item = Diagnostic::wrong(Code::MatchKind, "one gasket serves the whole engine here")
                    .at(self.names.place(label), "a gasket is kept or barred without a place")
                    .help(format!(
                        "write `{{ gasket = \"{}\" }}`, or add `gasket = \"per bank\"` to the match",
                        pin.part.value
                    ));
                reading.found.push(item);
                return None;
            }
        };
        if known.is_none() && places.trusted {
            let item = Diagnostic::wrong(Code::PositionUnknown, format!("there is no {what} `{}`", label.value))
                .at(self.names.place(label), "")
                .help(are);
            reading.found.push(item);
        }
        let known = known.copied()?;
        if scope != Scope::Position {
            return Some(known);
        }
        let here = self.served.within(known);
        if here >= self.served.len() {
            let served: Vec<_> = self.served.ids.iter().map(String::as_str).collect();
            let message = format!("this match does not serve {what} `{}`", label.value);
            let item = Diagnostic::wrong(Code::MatchOnly, message)
                .at(self.names.place(label), "")
                .help(format!("its `only` leaves {}", listed(&served)));
            reading.found.push(item);
        }
        (here < self.served.len()).then_some(here)
    }

    fn role(&self, pin: &PinDraft, reading: &mut Reading) -> Option<usize> {
        let place = &self.matching.place;
        let whole = place.len() == self.draft.place.len() && !self.names.draft.aliases_hidden;
        let Some(kind) = &pin.kind else {
            if place.len() > 1 && whole {
                let kind = &place[0].name;
                let at = pin.position.as_ref().unwrap_or(&pin.part);
                let (message, which, name) = if self.matching.of_one_kind().is_empty() {
                    ("this match places several kinds", "a part of which kind?", "kind")
                } else {
                    ("this match places several parts a position", "in the place of which of them?", "part's place")
                };
                let item = Diagnostic::wrong(Code::MatchKind, message).at(self.names.place(at), which).help(format!(
                    "name the {name}, as in `{{ {kind} = {{ \"{}\" = \"{}\" }} }}`",
                    at.value, pin.part.value
                ));
                reading.found.push(item);
            }
            return (place.len() == 1 && whole).then_some(0);
        };
        let known = self.matching.role_called(&kind.value);
        if known.is_none() && whole {
            let names: Vec<_> = place.iter().map(|role| role.name.as_str()).collect();
            let item =
                if self.matching.role(&kind.value).is_some() {
                    Diagnostic::wrong(Code::MatchRole, format!("this match calls a `{}` otherwise", kind.value))
                        .help(format!("name the place that the part is kept in or barred from: {}", listed(&names)))
                } else {
                    Diagnostic::wrong(Code::MatchKind, format!("this match does not place `{}`", kind.value))
                        .help(remedy(&kind.value, &names, "it places"))
                };
            reading.found.push(item.at(self.names.place(kind), ""));
        }
        known
    }

    fn part(&self, role: usize, label: &At<String>, reading: &mut Reading) -> Option<usize> {
        let ids = self.names.ids(&self.matching.place.get(role)?.kind)?;
        let known = ids.find(&label.value);
        if known.is_none() && ids.trusted {
            reading.found.push(unknown_part(ids, &label.value).at(self.names.place(label), ""));
        }
        known
    }

    /// `in cylinder 3`, `on bank left`, `for the engine`.
    fn spot(&self, pin: &Drafted<'_>) -> String {
        match (self.scope(pin.0.role), &pin.1.position) {
            (Scope::Bank, Some(label)) => format!("on bank {}", label.value),
            (_, Some(label)) => format!("{} {}", self.all.places.stand(), label.value),
            (_, None) => "for the engine".to_owned(),
        }
    }

    /// In how many places the part may be kept; `None` is any number.
    fn copies(&self, pin: Pin) -> Option<u32> {
        let role = self.matching.place.get(pin.role)?;
        let part = self.names.stock(&role.kind)?.stock.parts.get(pin.part)?;
        if role.kind == "gasket" { part.count } else { part.count.or(Some(1)).filter(|&count| count != Part::ANY) }
    }

    /// A part goes to as many places as there are of it, and a place takes one part of a kind.
    fn check_kept_once(&self, keep: &[Drafted<'_>], reading: &mut Reading) {
        for (at, kept) in keep.iter().enumerate() {
            let (pin, draft) = kept;
            let earlier = &keep[..at];
            let same = |other: &Pin| other.role == pin.role;
            let kind = |pin: &Pin| self.matching.place.get(pin.role).map(|role| &role.kind);
            let of_kind = |other: &Pin| kind(other) == kind(pin);
            let again = earlier.iter().any(|(other, _)| other == pin);
            let mut elsewhere = earlier.iter().filter(|(other, _)| of_kind(other) && other.part == pin.part);
            let first = elsewhere.next();
            let times = usize::from(first.is_some()) + elsewhere.count();
            let used_up = self.copies(*pin).is_some_and(|copies| times >= copies as usize);
            let both = earlier.iter().find(|(other, _)| same(other) && other.position == pin.position);
            let (message, first) = match (first.filter(|_| used_up), both) {
                _ if again => continue,
                (Some((_, first)), _) => {
                    (format!("part `{}` is kept in more places than there are of it", draft.part.value), &first.part)
                }
                (None, Some((_, first))) => (format!("two parts are kept {}", self.spot(kept)), &first.part),
                (None, None) => continue,
            };
            let item = Diagnostic::wrong(Code::MatchKeptTwice, message)
                .at(self.names.place(&draft.part), "again here")
                .at(self.names.place(first), "first here")
                .help("take one of them out");
            reading.found.push(item);
        }
    }

    fn check_keep_bar(&self, keep: &[Drafted<'_>], bar: &[Drafted<'_>], reading: &mut Reading) {
        for kept in keep {
            for (_, barred) in bar.iter().filter(|(other, _)| *other == kept.0) {
                let message = format!("`{}` is kept {} and barred from it", kept.1.part.value, self.spot(kept));
                let item = Diagnostic::wrong(Code::MatchKeepBar, message)
                    .at(self.names.place(&kept.1.part), "kept here")
                    .at(self.names.place(&barred.part), "barred here")
                    .help("take one of them out");
                reading.found.push(item);
            }
        }
    }

    fn check_keep_fits(&self, keep: &[Drafted<'_>], reading: &mut Reading) {
        for kept in keep {
            let (pin, draft) = kept;
            let Some(read) = self.matching.place.get(pin.role).and_then(|role| self.names.stock(&role.kind)) else {
                continue;
            };
            let allowed = |part: &Part| match self.scope(pin.role) {
                Scope::Position => {
                    let bank = self.served.banks.get(pin.position).copied().flatten();
                    part.may_go(self.served.among_all(pin.position), bank)
                }
                Scope::Bank => part.may_serve(pin.position),
                Scope::Engine => (0..self.names.cylinders.banks.len()).all(|bank| part.may_serve(bank)),
            };
            let Some(part) = read.stock.parts.get(pin.part).filter(|part| !allowed(part)) else { continue };
            let Some(grid) = &read.grid else { continue };
            let column = if grid.has("bank") { "bank" } else { "fits" };
            let message = format!("`{}` is kept {}, where its `{column}` does not let it go", part.id, self.spot(kept));
            let item = Diagnostic::wrong(Code::MatchKeepFits, message)
                .at(self.names.place(&draft.part), "kept here")
                .at(grid.place(pin.part, column), "where it may go")
                .help(format!("take the `keep` out, or add the place to `{column}`"));
            reading.found.push(item);
        }
    }
}

impl Names<'_> {
    pub(super) fn place(&self, at: &At<String>) -> Place {
        self.job.place(at.span.clone())
    }
}
