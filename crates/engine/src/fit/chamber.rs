//! Which chamber of a head stands over which cylinder, and what it holds.

use super::given::Given;
use super::shift::Shift;
use super::source::{Owner, Size, Source};
use super::wanting::Wanting;
use crate::job::{Bank, HeadSeat, Job, Stock, Typed};
use crate::reduction::{ChamberReduction, MOST_CHAMBERS};

/// The chamber of every head over every cylinder.
#[derive(Clone, Debug)]
pub(super) struct Chambers {
    /// `heads × positions`, position after position of one head.
    over: Vec<Option<Given>>,
    positions: usize,
}

impl Chambers {
    /// Lays out the chambers, each larger by what the shift says; notes what is wanting where there is none at all.
    pub(super) fn new(
        job: &Job,
        poured: Option<&ChamberReduction>,
        shift: Shift,
        wanting: &mut Wanting,
    ) -> Option<Self> {
        let heads = wanting.need(job.stock("head"), "a stock of heads with their chambers")?;
        let cylinders = wanting.need(job.positions("cylinder"), "cylinders")?;
        let measured: Vec<Vec<Option<Given>>> =
            (0..heads.parts.len()).map(|head| chambers_of(job, heads, poured, head)).collect();
        if measured.iter().all(Vec::is_empty) {
            wanting.note("the volumes of the chambers: columns `chamber_1_cc` … of the head stock, or pours");
            return None;
        }
        let positions = cylinders.len();
        let mut over = vec![None; heads.parts.len() * positions];
        for bank in &job.banks {
            for (place, &position) in bank.cylinders.iter().enumerate() {
                for (head, chambers) in measured.iter().enumerate() {
                    if let (true, Some(over)) = (position < positions, over.get_mut(head * positions + position)) {
                        *over = chamber_at(bank, place, chambers);
                    }
                }
            }
        }
        if over.iter().all(Option::is_none) {
            wanting.note("banks with as many cylinders as the heads have chambers (`[banks]`)");
            return None;
        }
        for chamber in over.iter_mut().flatten() {
            chamber.value += shift.chamber as f64;
        }
        Some(Self { over, positions })
    }

    /// The chamber of `head` over the cylinder at `position`; `None` where it has none, or none that was measured.
    pub(super) fn over(&self, head: usize, position: usize) -> Option<&Given> {
        if position >= self.positions {
            return None;
        }
        self.over.get(head * self.positions + position)?.as_ref()
    }
}

/// The chamber over the cylinder at `place` of a bank, counted from its front: from the head's other end where
/// the head sits turned. A head with more or fewer chambers than the bank has cylinders fits none of them.
fn chamber_at(bank: &Bank, place: usize, chambers: &[Option<Given>]) -> Option<Given> {
    if chambers.len() != bank.cylinders.len() {
        return None;
    }
    let from_front = match bank.head {
        Some(HeadSeat::Turned) => chambers.len() - 1 - place,
        Some(HeadSeat::AsMeasured) | None => place,
    };
    *chambers.get(from_front)?
}

/// The chambers of one head, up to the last that was measured: poured, else typed.
fn chambers_of(job: &Job, heads: &Stock, poured: Option<&ChamberReduction>, head: usize) -> Vec<Option<Given>> {
    let given = |chamber: usize| {
        let source = Source::of(Owner::Head, head, Size::Chamber(u16::try_from(chamber).unwrap_or(u16::MAX)));
        let pours = poured.and_then(|poured| poured.chamber(head, chamber));
        let measured = pours
            .map(|pours| Given { value: pours.value, u: pours.u, dof: pours.dof, source })
            .or_else(|| Some(Given::typed(typed(job, heads, head, chamber)?, source)));
        let more = job.machined.roomier(head, chamber) as f64;
        measured.map(|measured| Given { value: measured.value + more, ..measured })
    };
    let columns = heads.columns.iter().filter_map(|column| column.name.strip_prefix("chamber_")?.parse::<usize>().ok());
    let most = columns.max().unwrap_or(0).max(poured.map_or(0, ChamberReduction::chambers_a_head));
    let mut chambers: Vec<_> = (0..most.min(MOST_CHAMBERS)).map(given).collect();
    let last = chambers.iter().rposition(Option::is_some).map_or(0, |last| last + 1);
    chambers.truncate(last);
    chambers
}

/// A typed chamber: `chamber_2` with `u_chamber_2`, else `u_chamber`, else `[uncertainty] chamber`.
fn typed(job: &Job, heads: &Stock, head: usize, chamber: usize) -> Option<Typed> {
    let name = format!("chamber_{}", chamber + 1);
    let own = heads.columns.value(&format!("u_{name}"), head).or_else(|| heads.columns.value("u_chamber", head));
    let stated = own.map(|u| u.ticks() as f64).or_else(|| job.stated_uncertainty(&name));
    let value = heads.columns.value(&name, head)?;
    Some(Typed::new(value, stated.or_else(|| job.stated_uncertainty("chamber"))))
}
