//! Which cautions apply to what is handed over.

use super::edge;
use super::{Caution, MatchReport, Outcome};
use crate::clearance::LedgerReport;
use crate::job::{CYLINDER, FitName, Job};
use crate::plan::{Placement, Plan};

/// The cautions for the plans among `matches`, in a fixed order; none where there is no plan.
pub(crate) fn cautions(job: &Job, matches: &[MatchReport], ledger: Option<&LedgerReport>) -> Vec<Caution> {
    let plans: Vec<&Plan> = matches.iter().filter_map(|report| plan(&report.outcome)).collect();
    if plans.is_empty() {
        return Vec::new();
    }
    let column = |name| job.stock("piston").is_some_and(|stock| stock.columns.named(name).is_some());
    let skirt = job.matches.iter().flat_map(|matching| &matching.limits).any(|limit| limit.fit == FitName::Skirt)
        || job.positions(CYLINDER).is_some_and(|cylinders| {
            cylinders.columns.named("bore").is_some() && column("diameter")
                || cylinders.limits.iter().any(|limit| limit.fit == FitName::Skirt)
        });
    let kind = |report: &MatchReport| Some(job.positions_of(job.matches.get(report.index)?)?.kind.as_str());
    let cylinders = matches.iter().any(|report| kind(report) == Some(CYLINDER));
    let lifted = plans.iter().flat_map(|plan| &plan.placements).any(|placement| knows(placement, FitName::Lift));
    let flat = plans.iter().flat_map(|plan| &plan.placements).any(|placement| knows(placement, FitName::PistonToHead));
    let applies = [
        (Caution::FromReadings, job.deck.is_some() || job.chambers.is_some()),
        (Caution::MockUp, cylinders || lifted),
        (Caution::TryAgain, !(cylinders || lifted)),
        (Caution::FlatClearance, flat),
        (Caution::Domes, flat && domes(job)),
        (Caution::GasketEdge, matches.iter().any(|report| edge::is_near(job, report))),
        (Caution::CarriedOver, ledger.is_some_and(|ledger| !ledger.entries.is_empty())),
        (Caution::UnknownHead, ledger.is_some_and(|ledger| knows_no_head(job, ledger))),
        (Caution::MoreLift, lifted),
        (Caution::RunningClearance, cylinders),
        (Caution::OneTemperature, true),
        (Caution::Balance, cylinders),
        (Caution::HonedBores, skirt),
        (Caution::MatedParts, mated(job)),
        (Caution::FiguresFirst, true),
    ];
    applies.into_iter().filter(|(_, applies)| *applies).map(|(caution, _)| caution).collect()
}

/// The plan that is shown, if only at face value.
pub(super) fn plan(outcome: &Outcome) -> Option<&Plan> {
    match outcome {
        Outcome::Planned(planned) => Some(&planned.plan),
        Outcome::Impossible(impossible) => impossible.nominal.as_deref(),
        Outcome::Undecided | Outcome::Missing(_) => None,
    }
}

/// Whether heads are placed, and an entry does not say with which one it was read.
fn knows_no_head(job: &Job, ledger: &LedgerReport) -> bool {
    let places_heads = job.matches.iter().flat_map(|matching| &matching.place).any(|role| role.kind == "head");
    let mut entries = ledger.entries.iter().filter_map(|carried| job.ledger.get(carried.id));
    places_heads && entries.any(|entry| entry.read_with.head.is_none())
}

fn knows(placement: &Placement, fit: FitName) -> bool {
    placement.fits.iter().any(|value| value.fit == fit)
}

/// Whether a piston of the stock has a dome: a dish below nothing.
fn domes(job: &Job) -> bool {
    let dishes = job.stock("piston").and_then(|stock| stock.columns.named("dish"));
    dishes.is_some_and(|column| column.values.iter().flatten().any(|dish| dish.ticks() < 0))
}

/// Whether a match places a kind of which some part has a mate.
fn mated(job: &Job) -> bool {
    let has_mates =
        |kind: &str| job.stock(kind).is_some_and(|stock| stock.parts.iter().any(|part| part.with.is_some()));
    job.matches.iter().flat_map(|matching| &matching.place).any(|role| has_mates(&role.kind))
}
