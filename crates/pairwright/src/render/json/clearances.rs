//! The clearance ledger as JSON.

use pairwright_engine::clearance::{Carried, LedgerReport, Lever, Room, State, Unheld};
use pairwright_engine::explain::{self, More};
use pairwright_engine::job::{CYLINDER, Job, VALVE};
use pairwright_engine::quantity::Unit;

use super::clearances_document::{Clearance, Clearances, Headroom, LittleMore, Stop, Tightest};
use super::document::Quantity;
use super::placed::kind;
use super::plan_document::Expected;
use super::values::quantity;
use crate::render::view::{View, number};

/// The whole ledger.
pub(super) fn clearances(job: &Job, report: &LedgerReport) -> Clearances {
    let name = |id| job.ledger.get(id).map_or_else(String::new, |entry| entry.name.clone());
    let stop = |stop: &pairwright_engine::clearance::Stop| Stop {
        change: change(stop.lever),
        clearance: name(stop.id),
        at: length(job, stop.at),
    };
    Clearances {
        entries: report.entries.iter().filter_map(|carried| clearance(job, carried)).collect(),
        stops: report.stops.iter().map(stop).collect(),
    }
}

fn clearance(job: &Job, carried: &Carried) -> Option<Clearance> {
    let entry = job.ledger.get(carried.id)?;
    let place = |kind: &str, at: Option<usize>| Some(job.positions(kind)?.label(at?)?.to_owned());
    let interval = |left: &pairwright_engine::plan::Estimate| Expected {
        value: number(left.value as f64, job.units),
        low: number(left.low, job.units),
        high: number(left.high, job.units),
        unit: job.units.symbol().to_owned(),
    };
    let known = carried.left.is_some();
    let (state, again) = match carried.state {
        State::Held => ("held", None),
        State::Nominal => ("nominal", None),
        State::Broken => ("broken", None),
        State::MeasureAgain(why) => ("measure_again", Some(why)),
    };
    Some(Clearance {
        name: entry.name.clone(),
        cylinder: place(CYLINDER, entry.cylinder),
        valve: place(VALVE, entry.valve),
        read: length(job, entry.reading.ticks()),
        left: carried.left.as_ref().map(interval),
        u: carried.left.map(|left| quantity(left.u, job.units)),
        minimum: length(job, carried.minimum),
        margin: known.then(|| length(job, carried.margin())),
        band: known.then(|| quantity(carried.band, job.units)),
        state,
        measure_again: again.map(|why| match why {
            Unheld::Cam => "cam",
            Unheld::Head => "head",
            Unheld::Changed => "changed",
            Unheld::Unknown => "unknown",
        }),
        piston_higher: length(job, carried.rise),
        gasket_thicker: length(job, carried.thicker),
        extra_lift: length(job, carried.extra_lift),
        open: carried.open,
        headroom: carried.headroom.map(|headroom| Headroom {
            more_lift: room(job, headroom.lift),
            less_gasket: room(job, headroom.gasket),
            higher_piston: room(job, headroom.piston),
        }),
        good_for: carried.good_for.map(|lift| length(job, lift)),
    })
}

fn length(job: &Job, ticks: i64) -> Quantity {
    quantity(ticks as f64, job.units)
}

fn room(job: &Job, room: Room) -> Option<Quantity> {
    match room {
        Room::Upto(ticks) => Some(length(job, ticks)),
        Room::Free => None,
    }
}

const fn change(lever: Lever) -> &'static str {
    match lever {
        Lever::Lift => "more_lift",
        Lever::Gasket => "less_gasket",
        Lever::Piston => "higher_piston",
    }
}

impl View<'_> {
    /// What a little more of one thing would do.
    pub(super) fn little_more(self, one: &explain::LittleMore) -> LittleMore {
        let aim = self.unit_of(self.matching.aim.fit);
        let (of, unit) = match one.of {
            More::Gasket => ("gasket", self.job.units),
            More::Deck => ("deck", self.job.units),
            More::Chamber => ("chamber", Unit::CubicCentimetre),
        };
        LittleMore {
            of,
            by: quantity(one.by as f64, unit),
            mean: quantity(one.mean, aim),
            spread: quantity(one.spread as f64, aim),
            tightest: one.tightest.map(|lost| Tightest {
                fit: self.fit_name(lost.fit).to_owned(),
                kind: kind(lost.kind),
                room: self.of_fit(lost.fit, lost.room),
                gains: self.of_fit(lost.fit, lost.gains),
            }),
        }
    }
}
