//! Who asks for a fit.

use std::ops::Range;

use pairwright_engine::job::{FitName, Next};

use crate::diagnostic::Place;
use crate::input::resolve::{Names, Resolved};

/// Who wants a value, for the second label.
pub(super) struct Wanted {
    pub(super) place: Place,
    pub(super) why: String,
}

/// The first place that asks for `fit`: the aim, what follows it, a limit, a limit column.
pub(super) fn who_wants(names: &Names<'_>, resolved: &Resolved<'_>, fit: FitName) -> Option<Wanted> {
    let draft = resolved.draft;
    let at = |span: &Range<usize>, why: &str| {
        Some(Wanted {
            place: names.job.place(span.clone()),
            why: format!("{why} {}", names.draft.declared.fits.phrase(fit)),
        })
    };
    if let Some(aim) = draft.aim.as_ref().filter(|aim| aim.value.fit == fit) {
        return at(&aim.span, "the aim is");
    }
    let next = draft.then.iter().flatten().find(|next| next.value == Next::Spread(fit));
    if let Some(next) = next {
        return at(&next.span, "the next aim is");
    }
    if let Some(limit) = draft.limits.iter().find(|limit| limit.asked.fit == fit) {
        return at(&limit.span, "a limit bounds");
    }
    let (at_positions, served) = (resolved.at, &resolved.served);
    let limit = served.limits.iter().find(|limit| limit.fit == fit && limit.values.iter().any(Option::is_some));
    let grid = at_positions.grid.as_ref().filter(|_| limit.is_some())?;
    Some(Wanted {
        place: grid.header_place(),
        why: format!("a column bounds {}", names.draft.declared.fits.phrase(fit)),
    })
}
