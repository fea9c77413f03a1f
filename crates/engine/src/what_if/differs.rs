//! Where one plan differs from another.

use super::Differs;
use crate::job::{Matching, Scope};
use crate::plan::Plan;

/// Where `plan` has other parts than `stands`, role by role. Parts that were added come behind those that the stock had, so
/// that an index means the same part in both.
pub(super) fn differs(matching: &Matching, stands: &Plan, plan: &Plan) -> Differs {
    let mut differs = Differs::default();
    for (role, asked) in matching.place.iter().enumerate() {
        if matching.scope(&asked.kind) == Scope::Position {
            let pairs = stands.placements.iter().zip(&plan.placements);
            let other = pairs.filter(|(one, other)| one.parts.get(role) != other.parts.get(role));
            differs.placed.extend(other.map(|(_, placement)| (role, placement.position)));
        }
    }
    let new = plan.setting.served.iter().filter(|served| !stands.setting.served.contains(served));
    differs.served.extend(new);
    differs
}
