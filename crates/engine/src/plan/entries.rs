//! The entries of the clearance ledger that a match has to hold, and where the parts they follow come from.

use super::Taken;
use super::roles::standing;
use crate::fit::{Cast, Comes, EntryFit, Movers, Shift, Sources};
use crate::job::{CYLINDER, Clearance, EntryId, FitName, Job, Matching, Positions, VALVE};
use crate::limit::Limit;
use crate::plan::{Lack, LimitKind};
use crate::reduction::Reductions;

/// A match that is being asked, seen from the ledger; none once all are planned.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Asking<'a> {
    pub(crate) matching: &'a Matching,
    pub(crate) positions: &'a Positions,
    pub(crate) cast: &'a Cast,
}

/// What the ledger looks at to find the parts that an entry follows.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Standpoint<'a> {
    pub(crate) job: &'a Job,
    pub(crate) asking: Option<Asking<'a>>,
    /// Matches that come after: what they place counts as it was read.
    pub(crate) later: &'a [Matching],
    pub(crate) earlier: &'a Taken,
}

/// What is left of every entry that the match serves the position of and that can be carried over, in the order of
/// the ledger.
pub(crate) fn entry_fits<'j>(
    job: &'j Job,
    reductions: &'j Reductions,
    standpoint: Standpoint<'_>,
    shift: Shift,
) -> Vec<Result<EntryFit<'j>, Lack>> {
    let Some(asking) = standpoint.asking else { return Vec::new() };
    let held = |(_, entry): &(EntryId, &Clearance)| !entry.measure_again && !job.ledger.has_another_cam(entry);
    let mut held = job.ledger.numbered().filter(held).peekable();
    if held.peek().is_none() {
        return Vec::new();
    }
    let movers = Movers::new(job, reductions.deck.as_ref(), shift);
    let fit = |(id, entry): (EntryId, &Clearance)| {
        let at = at(entry, asking.positions).filter(|_| standpoint.is_due(entry, asking.positions))?;
        Some(EntryFit::new(job, id, standpoint.sources(entry, at), movers.clone()))
    };
    held.filter_map(fit).collect()
}

/// The limits that hold these entries, each in its position alone.
pub(crate) fn entry_limits<'e>(
    job: &'e Job,
    positions: &'e Positions,
    fits: impl Iterator<Item = FitName> + 'e,
) -> impl Iterator<Item = Limit> + 'e {
    fits.filter_map(move |fit| {
        let FitName::Entry(id) = fit else { return None };
        let entry = job.ledger.get(id)?;
        let mut bounds = vec![None; positions.len()];
        *bounds.get_mut(positions.within(at(entry, positions)?))? = Some(entry.minimum.ticks());
        let kind = LimitKind::Side(crate::job::Bounding::Min);
        Some(Limit { fit, kind, bounds, by_position: true, guard: true })
    })
}

/// The position of an entry among all of its kind, if a match over these positions serves it.
fn at(entry: &Clearance, positions: &Positions) -> Option<usize> {
    let at = match positions.kind.as_str() {
        CYLINDER => entry.cylinder,
        VALVE => entry.valve,
        _ => None,
    }?;
    (positions.within(at) < positions.len()).then_some(at)
}

impl Standpoint<'_> {
    /// Where everything comes from that an entry follows, for seats at a position.
    pub(crate) fn sources(self, entry: &Clearance, at: usize) -> Sources {
        let of_cylinder = |kind| entry.cylinder.map_or(Comes::AsRead, |cylinder| self.comes(kind, CYLINDER, cylinder));
        let by_stated_lift = entry.valve.is_some_and(|valve| {
            self.job.positions(VALVE).is_some_and(|valves| valves.columns.value("lift", valve).is_some())
        });
        let rocker = match entry.valve {
            Some(valve) if self.is_settled("rocker", VALVE, valve) || !by_stated_lift => {
                self.comes("rocker", VALVE, valve)
            }
            _ => Comes::AsRead,
        };
        Sources {
            at,
            piston: of_cylinder("piston"),
            rod: of_cylinder("rod"),
            gasket: of_cylinder("gasket"),
            head: of_cylinder("head"),
            rocker,
            by_stated_lift,
        }
    }

    /// Whether a match over these positions has to hold an entry. That of valves leaves one that follows pistons and gasket
    /// to the cylinders' match where that comes later: it may still win what the lift takes.
    fn is_due(self, entry: &Clearance, positions: &Positions) -> bool {
        let follows = entry.moves.follows();
        let open = |kind| entry.cylinder.is_some_and(|cylinder| self.is_open(kind, CYLINDER, cylinder));
        let moved = follows.deck && ["piston", "rod"].into_iter().any(open) || follows.gasket && open("gasket");
        positions.kind != VALVE || !moved
    }

    /// Whether any match places `kind` at a place, and none has yet: what is said of it may still change.
    pub(crate) fn is_open(self, kind: &str, home: &str, place: usize) -> bool {
        !self.is_settled(kind, home, place) && self.comes_later(kind, home, place)
    }

    /// Whether a match has put a part of `kind` there.
    pub(crate) fn is_put(self, kind: &str, home: &str, place: usize) -> bool {
        self.earlier.put_at(kind, place, self.bank(home, place)).is_some()
    }

    fn is_settled(self, kind: &str, home: &str, place: usize) -> bool {
        self.is_asked(kind, home) || self.is_put(kind, home, place)
    }

    fn is_asked(self, kind: &str, home: &str) -> bool {
        self.asking.is_some_and(|asking| asking.positions.kind == home && asking.matching.role(kind).is_some())
    }

    fn comes_later(self, kind: &str, home: &str, place: usize) -> bool {
        let places = |matching: &Matching| {
            let positions = self.job.positions_of(matching);
            let serves = |here: &Positions| here.kind == home && here.within(place) < here.len();
            matching.role(kind).is_some() && positions.is_some_and(serves)
        };
        self.later.iter().any(places)
    }

    fn bank(self, home: &str, place: usize) -> usize {
        let positions = self.job.positions(home);
        positions.and_then(|positions| positions.banks.get(place).copied().flatten()).unwrap_or(0)
    }

    /// Where the part of a kind comes from: chosen now, put there by an earlier match, to be placed by a later one and
    /// so counted as it was read, or standing as it is.
    fn comes(self, kind: &str, home: &str, place: usize) -> Comes {
        let here = self.asking.filter(|asking| asking.positions.kind == home);
        let role = here.and_then(|asking| asking.cast.role(kind));
        let bank = self.bank(home, place);
        match (role, self.earlier.put_at(kind, place, bank)) {
            (Some(role), _) if self.is_asked(kind, home) => Comes::WithSeat(role),
            (_, Some(part)) => Comes::Is(part),
            _ if self.comes_later(kind, home, place) => Comes::AsRead,
            (Some(role), None) => self.standing(kind, place, bank).map_or(Comes::AsRead, |_| Comes::WithSeat(role)),
            (None, None) => self.standing(kind, place, bank).map_or(Comes::AsRead, Comes::Is),
        }
    }

    fn standing(self, kind: &str, place: usize, bank: usize) -> Option<usize> {
        standing(self.job.stock(kind)?, place, bank)
    }
}
