//! Where one plan differs from another.

use super::Differs;
use crate::job::{Job, Matching, Scope};
use crate::plan::{Placement, Plan};

/// Where `plan` has other parts than `stands`, role by role. Parts that were added come behind those that the stock had, so
/// that an index means the same part in both.
pub(super) fn differs(job: &Job, matching: &Matching, stands: &Plan, plan: &Plan) -> Differs {
    let mut differs = Differs::default();
    for (role, asked) in matching.place.iter().enumerate() {
        if matching.scope(&asked.kind) == Scope::Position {
            let pairs = stands.placements.iter().zip(&plan.placements);
            let stock = job.stock(&asked.kind);
            // One piece of a type is as good as another.
            let same = |(one, other): (&Placement, &Placement)| match (one.parts.get(role), other.parts.get(role)) {
                (Some(&one), Some(&other)) => stock.map_or(one == other, |stock| stock.is_alike(one, other)),
                (one, other) => one == other,
            };
            let other = pairs.filter(|&pair| !same(pair));
            differs.placed.extend(other.map(|(_, placement)| (role, placement.position)));
        }
    }
    let new = plan.setting.served.iter().filter(|served| !stands.setting.served.contains(served));
    differs.served.extend(new);
    differs
}
