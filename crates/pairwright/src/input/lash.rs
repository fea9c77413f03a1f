//! Valve lift worked out without lash, which is said.

use pairwright_engine::job::{CYLINDER, FitName, Matching, Next};

use crate::diagnostic::{Code, Diagnostic};
use crate::noun::plural;

use super::load::Reading;
use super::resolve::Resolved;

/// Says of which valves no lash is known, where a match asks for lift.
pub(super) fn note(resolved: &[Resolved<'_>], reading: &mut Reading) {
    let mut said: Vec<&str> = Vec::new();
    for one in resolved
        .iter()
        .filter(|one| asks(&one.matching) || one.served.limits.iter().any(|limit| limit.fit == FitName::Lift))
    {
        let Some(grid) = one.at.grid.as_ref().filter(|grid| !grid.has_refused() && one.served.kind != CYLINDER) else {
            continue;
        };
        // A cell that was refused is there.
        let refused = |at: usize| {
            let whole = one.served.order.get(at).copied().unwrap_or(at);
            one.at.rows.get(whole).copied().flatten().is_some_and(|row| grid.is_bad(row, "lash"))
        };
        let unknown = |at: &usize| one.served.columns.value("lash", *at).is_none() && !refused(*at);
        let unknown: Vec<_> = (0..one.served.len()).filter(unknown).map(|at| one.served.ids[at].as_str()).collect();
        if unknown.is_empty() || said.contains(&unknown[0]) {
            continue;
        }
        let (kind, place) = (&one.served.kind, grid.header_place());
        let message = if grid.has("lash") {
            format!("no lash is known of {kind} {}: its lift is worked out with none", super::nearest::listed(&unknown))
        } else {
            said.extend(one.at.positions.ids.iter().map(String::as_str));
            format!("no column says the `lash` of the {}: lift is worked out with none", plural(kind))
        };
        said.extend(unknown);
        reading.found.push(Diagnostic::note(Code::NoteNoLash, message).at(place, ""));
    }
}

fn asks(matching: &Matching) -> bool {
    matching.aim.fit == FitName::Lift
        || matching.limits.iter().any(|limit| limit.fit == FitName::Lift)
        || matching.then.iter().flatten().any(|next| *next == Next::Spread(FitName::Lift))
}
