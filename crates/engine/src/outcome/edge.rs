//! Pistons that may touch the edge of their gasket.

use super::MatchReport;
use super::cautions::plan;
use crate::job::{FitName, Job};
use crate::plan::{Placement, Plan};

/// How much wider than the bore a gasket's opening should be for a piston above the deck, in nm: half a millimetre on every
/// side. Common practice, no source: the gasket's maker knows better.
const ROOM: i64 = 1_000_000;

/// Whether a plan has a piston that may stand above the deck in an opening hardly wider than its bore.
pub(super) fn is_near(job: &Job, report: &MatchReport) -> bool {
    let Some(plan) = plan(&report.outcome) else { return false };
    plan.placements.iter().any(|placement| {
        let rises = placement.fits.iter().any(|fit| fit.fit == FitName::Deck && fit.estimate.high > 0.0);
        rises && room(job, report.index, plan, placement).is_some_and(|room| room < ROOM)
    })
}

/// How much wider the gasket's opening is than the bore, in nm.
fn room(job: &Job, matching: usize, plan: &Plan, placement: &Placement) -> Option<i64> {
    let stock = job.stock("gasket")?;
    let role = job.matches.get(matching)?.place.iter().position(|role| role.kind == "gasket");
    let cylinders = job.positions_of(job.matches.get(matching)?)?;
    let bank = cylinders.banks.get(placement.position).copied().flatten();
    let gasket = match role {
        Some(role) => plan.setting.part(role, bank.unwrap_or(0))?,
        None if stock.parts.len() == 1 => 0,
        None => return None,
    };
    let bore = cylinders.columns.value("bore", placement.position).or(job.engine.bore)?;
    Some(stock.columns.value("bore", gasket)?.ticks() - bore.ticks())
}
