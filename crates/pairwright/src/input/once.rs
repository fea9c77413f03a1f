//! Each kind once over matches in one and the same position.

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
