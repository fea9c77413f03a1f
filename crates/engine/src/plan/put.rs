//! Where a plan puts its parts, for the matches after it.

use super::certificate::Certificate;
use super::roles::Roles;
use super::taken::{Spot, Taken};
use crate::job::Job;
use crate::plan::Plan;

/// Notes where a plan of the match at `index` puts its parts.
pub(crate) fn put(job: &Job, index: usize, plan: &Plan, taken: &mut Taken) {
    let Some(Ok(roles)) = job.matches.get(index).map(|matching| Roles::new(job, matching)) else { return };
    let of = |role: usize| plan.placements.iter().filter_map(|place| place.parts.get(role).copied()).collect();
    let parts = if roles.is_placed(roles.first) { of(roles.first) } else { Vec::new() };
    let seconds = roles.second.map_or_else(Vec::new, of);
    Certificate { setting: plan.setting.clone(), parts, seconds, ..Certificate::default() }.put(job, index, taken);
}

impl Certificate {
    /// Notes where the plan puts its parts, mates that come along included.
    pub(crate) fn put(&self, job: &Job, matching: usize, taken: &mut Taken) {
        let Some(asked) = job.matches.get(matching) else { return };
        let (Ok(roles), Some(positions)) = (Roles::new(job, asked), job.positions_of(asked)) else { return };
        let kinds: Vec<String> = roles.cast.kinds().map(str::to_owned).collect();
        let spot = |at: usize| Spot::Position(positions.among_all(at));
        for (role, parts) in [(Some(roles.first), &self.parts), (roles.second, &self.seconds)] {
            if let Some(kind) = role.filter(|&role| roles.is_placed(role)).and_then(|role| kinds.get(role)) {
                parts.iter().enumerate().for_each(|(at, &part)| taken.put(kind, spot(at), part));
            }
        }
        if let Some(mates) = roles.mates.as_ref().filter(|mates| mates.follow && roles.is_placed(roles.first)) {
            for (at, &part) in self.parts.iter().enumerate() {
                if let (Some(kind), Some(&Some(mate))) = (kinds.get(mates.role), mates.of.get(part)) {
                    taken.put(kind, spot(at), mate);
                }
            }
        }
        for served in &self.setting.served {
            if let Some(role) = asked.place.get(served.role) {
                taken.put(&role.kind, served.bank.map_or(Spot::Engine, Spot::Bank), served.part);
            }
        }
    }
}
