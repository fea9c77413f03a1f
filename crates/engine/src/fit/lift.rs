//! Valve lift: `lobe lift × rocker ratio − lash`.

use super::budget::{Budget, Composed};
use super::geometry::{RATIO, whole};
use super::given::{Given, Sizes, of_engine, of_positions, of_stock};
use super::source::{Owner, Size};
use super::wanting::Wanting;
use super::{Cast, Seat};
use crate::job::{FitName, Job};
use crate::plan::Lack;

/// The kind of part that makes lift.
const ROCKER: &str = "rocker";

/// Lift at the valve with the cam at the top of its lobe.
///
/// The ratio of a rocker is the one typed, or the lift read at the retainer over the lift of a reference lobe. To
/// first order `u² = (r·u_lobe)² + (lobe·u_r)² + u_lash²`, and for a ratio that was read
/// `u_r² = (u_read/ref)² + (r·u_ref/ref)²`. The error of a reference lobe is one and the same for every rocker
/// read over it: it goes into a limit in full and cancels in a difference.
///
/// A valve without a lash of its own has none: the lift is that of a valve train without play. A rocker that has
/// both a ratio and a reading counts by its ratio.
#[derive(Clone, Debug)]
pub(super) struct LiftFit {
    rocker: usize,
    lobes: Sizes,
    lashes: Sizes,
    ratios: Sizes,
    read: Read,
}

/// Lifts read at the retainer, each with the lobe that it was read over.
#[derive(Clone, Debug)]
struct Read {
    lifts: Sizes,
    lobes: Sizes,
}

/// A ratio as a plain number, and what it was made of.
#[derive(Clone, Copy, Debug)]
enum Ratio<'a> {
    Typed(&'a Given),
    Read { lift: &'a Given, lobe: &'a Given },
}

impl Ratio<'_> {
    fn value(self) -> f64 {
        match self {
            Self::Typed(ratio) => ratio.value / RATIO,
            Self::Read { lift, lobe } => lift.value / lobe.value,
        }
    }

    /// `budget` with what the ratio brings to a value that follows it by `sensitivity`.
    fn add_to(self, budget: Budget, sensitivity: f64) -> Budget {
        match self {
            Self::Typed(ratio) => budget.with(ratio, sensitivity / RATIO),
            Self::Read { lift, lobe } => budget
                .with(lift, sensitivity / lobe.value)
                .with(lobe, -sensitivity * lift.value / (lobe.value * lobe.value)),
        }
    }
}

impl LiftFit {
    /// # Errors
    /// [`Lack`] that names everything missing.
    pub(super) fn new(job: &Job, cast: &Cast) -> Result<Self, Lack> {
        let mut wanting = Wanting::default();
        let rocker = wanting.need(cast.role(ROCKER), "a stock of rockers");
        let valves = job.stock(ROCKER).and_then(|stock| job.positions(stock.goes_to()));
        let of_valves = |size, name, common| {
            valves.map(|valves| of_positions(job, valves, (Owner::Valve, size), name, common)).unwrap_or_default()
        };
        let lobes =
            of_valves(Size::LobeLift, "lobe_lift", of_engine(job, Size::LobeLift, "lobe_lift", job.engine.lobe_lift));
        if lobes.is_empty() {
            wanting.note("a `lobe_lift` for the valves (a column of the valves file, or `[engine] lobe_lift`)");
        }
        let ratios = of_stock(job, ROCKER, Owner::Rocker, Size::Ratio, "ratio");
        let read = Read::new(job);
        if ratios.is_empty() && read.is_empty() {
            wanting.note(
                "a `ratio` column in the rocker stock, or a `lift` column and the lobe it was read over (`[engine] \
                 reference_lobe`, or a column `reference_lobe`)",
            );
        }
        match rocker {
            Some(rocker) if wanting.is_empty() => {
                Ok(Self { rocker, lobes, lashes: of_valves(Size::Lash, "lash", None), ratios, read })
            }
            _ => Err(wanting.lack(FitName::Lift)),
        }
    }

    fn ratio(&self, rocker: usize) -> Option<Ratio<'_>> {
        let typed = self.ratios.at(rocker).map(Ratio::Typed);
        typed.or_else(|| Some(Ratio::Read { lift: self.read.lifts.at(rocker)?, lobe: self.read.lobes.at(rocker)? }))
    }

    fn sizes(&self, seat: Seat) -> Option<(&Given, Ratio<'_>)> {
        Some((self.lobes.at(seat.position)?, self.ratio(seat.part(self.rocker)?)?))
    }
}

impl Read {
    fn new(job: &Job) -> Self {
        let common = of_engine(job, Size::ReferenceLobe, "reference_lobe", job.engine.reference_lobe);
        let own = of_stock(job, ROCKER, Owner::ReferenceLobe, Size::ReferenceLobe, "reference_lobe");
        let rockers = job.stock(ROCKER).map_or(0, |stock| stock.parts.len());
        let lobes = own.alike_as_one().or(common, rockers);
        Self { lifts: of_stock(job, ROCKER, Owner::Rocker, Size::Lift, "lift"), lobes }
    }

    fn is_empty(&self) -> bool {
        self.lifts.is_empty() || self.lobes.is_empty()
    }
}

impl Composed for LiftFit {
    fn fit(&self) -> FitName {
        FitName::Lift
    }

    fn ticks(&self, seat: Seat) -> Option<i64> {
        let (lobe, ratio) = self.sizes(seat)?;
        whole(lobe.value * ratio.value() - self.lashes.at(seat.position).map_or(0.0, |lash| lash.value))
    }

    fn budget(&self, seat: Seat) -> Option<Budget> {
        let (lobe, ratio) = self.sizes(seat)?;
        let budget = ratio.add_to(Budget::default().with(lobe, ratio.value()), lobe.value);
        Some(match self.lashes.at(seat.position) {
            Some(lash) => budget.with(lash, -1.0),
            None => budget,
        })
    }
}
