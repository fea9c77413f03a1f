//! What other heads and other gaskets would cost.

use std::collections::BTreeSet;

use super::{OtherSetting, Scene};
use crate::plan::{Asked, PlanError, Served, Setting};

/// At most so many other settings of a role are told of.
const MOST: usize = 12;

/// For every role that a setting fills, the best plan with each other way to fill it: first the plan's own parts the
/// other way round, then by their cost.
pub(super) fn settings(scene: &Scene<'_, '_>) -> Result<Vec<OtherSetting>, PlanError> {
    let question = scene.question();
    let mut out = Vec::new();
    let all = scene.search.settings();
    for role in 0..question.matching.place.len() {
        let served = |setting: &Setting| setting.of_role(role).copied().collect::<Vec<Served>>();
        let own = served(&scene.frame().setting);
        let others: BTreeSet<Vec<Served>> =
            all.iter().map(served).filter(|other| *other != own && !other.is_empty()).collect();
        let mut of_role = Vec::with_capacity(others.len());
        for other in others {
            let wanted = |setting: &Setting| served(setting) == other;
            let plan = scene.answered(Asked { settings: Some(&wanted), ..Asked::default() })?;
            let turned_about = parts(&own) == parts(&other);
            of_role.push(OtherSetting { role, turned_about, plan, served: other });
        }
        of_role.sort_by(|a, b| (!a.turned_about).cmp(&!b.turned_about).then(a.plan.cost().total_cmp(&b.plan.cost())));
        of_role.truncate(MOST);
        out.extend(of_role);
    }
    Ok(out)
}

fn parts(served: &[Served]) -> BTreeSet<usize> {
    served.iter().map(|served| served.part).collect()
}
