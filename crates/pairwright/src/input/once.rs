//! Each kind once over matches in one and the same position, and each part kept in as many places as there are of it.

use pairwright_engine::job::{Part, Pin};

use crate::diagnostic::{Code, Diagnostic};
use crate::noun::plural;

use super::load::Reading;
use super::resolve::{Names, Resolved};

/// Reports matches that place parts of one kind in the same positions.
pub(super) fn check(names: &Names<'_>, resolved: &[Resolved<'_>], reading: &mut Reading) {
    for (index, one) in resolved.iter().enumerate() {
        for (at, kind) in one.draft.place.iter().enumerate() {
            if one.draft.place[..at].iter().any(|other| other.value == kind.value) {
                continue;
            }
            let earlier = resolved[..index].iter().find_map(|earlier| {
                let same = earlier.draft.place.iter().find(|other| other.value == kind.value)?;
                earlier.shares(one).then_some((earlier, same))
            });
            let Some((earlier, first)) = earlier else { continue };
            let positions = &one.served.kind;
            let message =
                format!("two matches place the same kind, `{}`, in the same {}", kind.value, plural(positions));
            let partly = !earlier.served.order.is_empty() || !one.served.order.is_empty();
            let help = if partly {
                "let each `only` leave the other's positions out, or keep one of the matches"
            } else {
                "keep one of them; put what both ask for into it, in `then` and `limits`"
            };
            let item = Diagnostic::wrong(Code::MatchSameParts, message)
                .at(names.place(kind), "again here")
                .at(names.place(first), "first here")
                .help(help);
            reading.found.push(item);
        }
    }
}

/// Reports parts that several matches keep, in more places together than there are of them. Within one match `pins` sees to it.
pub(super) fn check_kept(names: &Names<'_>, resolved: &[Resolved<'_>], reading: &mut Reading) {
    for (index, one) in resolved.iter().enumerate() {
        for pin in &one.matching.keep {
            let Some((kind, part)) = kept(names, one, pin) else { continue };
            let copies = part.count.or((kind != "gasket").then_some(1)).filter(|&count| count != Part::ANY);
            let mut before = resolved[..index].iter().flat_map(|earlier| {
                let same = |other: &&Pin| {
                    kept(names, earlier, other).is_some_and(|(its, other)| its == kind && std::ptr::eq(other, part))
                };
                earlier.matching.keep.iter().filter(same).map(move |_| earlier)
            });
            let Some(earlier) = before.next() else { continue };
            let times = 1 + before.count();
            if copies.is_none_or(|copies| times < copies as usize) {
                continue;
            }
            let typed = |of: &Resolved<'_>| {
                of.draft.keep.iter().find(|draft| draft.part.value == part.id).map(|draft| names.place(&draft.part))
            };
            let (Some(again), Some(first)) = (typed(one), typed(earlier)) else { continue };
            let message = format!("part `{}` is kept by two matches, in more places than there are of it", part.id);
            let item = Diagnostic::wrong(Code::MatchKeptTwice, message)
                .at(again, "again here")
                .at(first, "first here")
                .help("take one of them out: a part is used once over the whole job");
            reading.found.push(item);
        }
    }
}

/// The kind and the part of a pin.
fn kept<'a>(names: &Names<'a>, of: &'a Resolved<'_>, pin: &Pin) -> Option<(&'a str, &'a Part)> {
    let role = of.matching.place.get(pin.role)?;
    Some((&role.kind, names.stock(&role.kind)?.stock.parts.get(pin.part)?))
}
