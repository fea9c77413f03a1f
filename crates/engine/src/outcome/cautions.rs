//! Which cautions apply to what is handed over.

use super::edge;
use super::{Caution, MatchReport, Outcome};
use crate::job::{FitName, Job};
use crate::plan::{Placement, Plan};

/// The cautions for the plans among `matches`, in a fixed order; none where there is no plan.
pub(crate) fn cautions(job: &Job, matches: &[MatchReport]) -> Vec<Caution> {
    let plans: Vec<&Plan> = matches.iter().filter_map(|report| plan(&report.outcome)).collect();
    if plans.is_empty() {
        return Vec::new();
    }
    let column = |name| job.stock("piston").is_some_and(|stock| stock.columns.named(name).is_some());
    let skirt = job.matches.iter().flat_map(|matching| &matching.limits).any(|limit| limit.fit == FitName::Skirt)
        || job.positions("cylinder").is_some_and(|cylinders| {
            cylinders.columns.named("bore").is_some() && column("diameter")
                || cylinders.limits.iter().any(|limit| limit.fit == FitName::Skirt)
        });
    let flat = plans.iter().flat_map(|plan| &plan.placements).any(knows_piston_to_head);
    let applies = [
        (Caution::FromReadings, job.deck.is_some() || job.chambers.is_some()),
        (Caution::MockUp, true),
        (Caution::FlatClearance, flat),
        (Caution::Domes, flat && domes(job)),
        (Caution::GasketEdge, matches.iter().any(|report| edge::is_near(job, report))),
        (Caution::RunningClearance, true),
        (Caution::OneTemperature, true),
        (Caution::Balance, true),
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

fn knows_piston_to_head(placement: &Placement) -> bool {
    placement.fits.iter().any(|value| value.fit == FitName::PistonToHead)
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
