//! Entries carried over to what the matches of a job have planned.

use super::report::{Carried, LedgerReport, State, Unheld};
use super::room::{Kept, headroom};
use super::stops::stops;
use crate::fit::{EntryFit, Fit, Growth, Movers, Seat, Shift};
use crate::job::{CYLINDER, Clearance, EntryId, Job, VALVE};
use crate::limit::{Factor, band};
use crate::plan::{Standpoint, Taken};
use crate::reduction::Reductions;
use crate::statistics::Risk;

/// The ledger of a job whose matches have put `taken`; `None` where the job has no ledger.
///
/// An entry whose cylinder and valve no plan has filled, although some match of the job would, is left out. What a match
/// without a plan would decide counts as it was read, which is said ([`Carried::open`]). O(entries), and one reduction
/// of what the entries follow.
#[must_use]
pub fn ledger(job: &Job, reductions: &Reductions, taken: &Taken) -> Option<LedgerReport> {
    if job.ledger.entries.is_empty() {
        return None;
    }
    let standpoint = Standpoint { job, asking: None, later: &job.matches, earlier: taken };
    let movers = Movers::new(job, reductions.deck.as_ref(), Shift::default());
    let guard = Factor::new(Risk::new(job.risk).unwrap_or(Risk::ONE_IN_40));
    let view = View { job, standpoint, movers, guard };
    let entries: Vec<Carried> = job.ledger.numbered().filter_map(|(id, entry)| view.carried(id, entry)).collect();
    Some(LedgerReport { stops: stops(&entries), entries })
}

struct View<'j> {
    job: &'j Job,
    standpoint: Standpoint<'j>,
    movers: Movers<'j>,
    guard: Factor,
}

/// What an entry may follow: the kind of part, and the kind of positions that it goes to.
const FOLLOWED: [(&str, &str); 5] =
    [("piston", CYLINDER), ("rod", CYLINDER), ("gasket", CYLINDER), ("head", CYLINDER), ("rocker", VALVE)];

impl View<'_> {
    fn carried(&self, id: EntryId, entry: &Clearance) -> Option<Carried> {
        let place = |home: &str| if home == VALVE { entry.valve } else { entry.cylinder };
        let open = |&&(kind, home): &&(&str, &str)| {
            place(home).is_some_and(|place| self.standpoint.is_open(kind, home, place))
        };
        let settled =
            |&&(kind, home): &&(&str, &str)| place(home).is_some_and(|place| self.standpoint.is_put(kind, home, place));
        let is_open = FOLLOWED.iter().any(|followed| open(&followed));
        if is_open && !FOLLOWED.iter().any(|followed| settled(&followed)) {
            return None;
        }
        let at = entry.cylinder.or(entry.valve)?;
        let fit = EntryFit::new(self.job, id, self.standpoint.sources(entry, at), self.movers.clone());
        let again = |why| Carried {
            id,
            left: None,
            minimum: entry.minimum.ticks(),
            band: 0.0,
            state: State::MeasureAgain(why),
            rise: 0,
            thicker: 0,
            extra_lift: 0,
            open: is_open,
            headroom: None,
            good_for: None,
        };
        // No part comes with the seat: all of them stand as they were put.
        let seat = Seat::empty(at);
        if self.job.ledger.has_another_cam(entry) {
            return Some(again(Unheld::Cam));
        }
        if entry.measure_again {
            return Some(again(Unheld::Changed));
        }
        let Ok(fit) = fit else { return Some(again(Unheld::Unknown)) };
        if fit.has_another_head(seat) {
            return Some(again(Unheld::Head));
        }
        Some(self.held(entry, &fit, seat, is_open).unwrap_or_else(|| again(Unheld::Unknown)))
    }

    /// How an entry stands that is carried over.
    fn held(&self, entry: &Clearance, fit: &EntryFit<'_>, seat: Seat, open: bool) -> Option<Carried> {
        let (left, growth) = (fit.estimate(seat)?, fit.growth(seat)?);
        let band = band(fit.doubt(seat)?, &self.guard);
        let minimum = entry.minimum.ticks();
        #[expect(clippy::cast_possible_truncation, reason = "bands are below a metre: far inside i64")]
        let least = minimum + band.ceil() as i64;
        let state = match left.value {
            value if value >= least => State::Held,
            value if value >= minimum => State::Nominal,
            _ => State::Broken,
        };
        let headroom = headroom(fit, Kept { seat, least });
        let good_for = match headroom.lift {
            super::Room::Upto(more) => fit.lift_at(seat).map(|lift| lift + more),
            super::Room::Free => None,
        };
        let Growth { rise, thicker, lift } = growth;
        Some(Carried {
            id: fit.id(),
            left: Some(left),
            minimum,
            band,
            state,
            rise: whole(rise),
            thicker: whole(thicker),
            extra_lift: whole(lift),
            open,
            headroom: Some(headroom),
            good_for,
        })
    }
}

#[expect(clippy::cast_possible_truncation, reason = "no part grows by more than a metre")]
fn whole(ticks: f64) -> i64 {
    ticks.round_ties_even() as i64
}
