//! Which cautions apply to what is handed over.

use super::{Caution, MatchReport, Outcome};
use crate::job::{FitName, Job};

/// The cautions for the plans among `matches`, in a fixed order; none where there is no plan.
pub(crate) fn cautions(job: &Job, matches: &[MatchReport]) -> Vec<Caution> {
    let planned = |report: &&MatchReport| match &report.outcome {
        Outcome::Planned(_) => true,
        Outcome::Impossible(impossible) => impossible.nominal.is_some(),
        Outcome::Missing(_) => false,
    };
    if matches.iter().find(planned).is_none() {
        return Vec::new();
    }
    let column = |name| job.stock("piston").is_some_and(|stock| stock.columns.named(name).is_some());
    let skirt = job.matches.iter().flat_map(|matching| &matching.limits).any(|limit| limit.fit == FitName::Skirt)
        || job.positions("cylinder").is_some_and(|cylinders| {
            cylinders.columns.named("bore").is_some() && column("diameter") || !cylinders.limits.is_empty()
        });
    let applies = [
        (Caution::FromReadings, job.deck.is_some()),
        (Caution::MockUp, true),
        (Caution::RunningClearance, true),
        (Caution::OneTemperature, true),
        (Caution::Balance, true),
        (Caution::HonedBores, skirt),
        (Caution::FiguresFirst, true),
    ];
    applies.into_iter().filter(|(_, applies)| *applies).map(|(caution, _)| caution).collect()
}
