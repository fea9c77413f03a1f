//! The data of the ledger. Values are ticks: 1 nm.

use crate::job::EntryId;
use crate::plan::Estimate;

/// Every entry, carried over to what the matches have planned.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LedgerReport {
    /// The entries of places that have a plan, in the order of the ledger.
    pub entries: Vec<Carried>,
    /// For each change the entry that stops it first; none where no entry does.
    pub stops: Vec<Stop>,
}

/// One entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Carried {
    /// Which entry.
    pub id: EntryId,
    /// What is left of it; `None` where it has to be measured again.
    pub left: Option<Estimate>,
    /// The least that may be left.
    pub minimum: i64,
    /// The guard band.
    pub band: f64,
    /// How it stands against its minimum.
    pub state: State,
    /// How much higher the piston stands than when it was read.
    pub rise: i64,
    /// How much thicker the gasket is.
    pub thicker: i64,
    /// How much further the valve lifts.
    pub extra_lift: i64,
    /// A later match, or one without a plan, still decides on something that it follows: that counts as it was read.
    pub open: bool,
    /// How far each change may go before what is left, less the guard band, is the minimum; `None` where it has to be
    /// measured again.
    pub headroom: Option<Headroom>,
    /// The greatest lift at the valve that it is good for, all else as planned, where the lift is known.
    pub good_for: Option<i64>,
}

impl Carried {
    /// From what is left to the minimum; negative below it, 0 where it has to be measured again.
    #[must_use]
    pub fn margin(&self) -> i64 {
        self.left.map_or(0, |left| left.value - self.minimum)
    }

    /// The same less the guard band, in whole ticks.
    #[must_use]
    #[expect(clippy::cast_possible_truncation, reason = "bands are below a metre: far inside i64")]
    pub fn room(&self) -> i64 {
        self.margin() - self.band.ceil() as i64
    }
}

/// How an entry stands against its minimum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Inside by its guard band.
    Held,
    /// Not below the minimum, but not by its guard band.
    Nominal,
    /// Below the minimum.
    Broken,
    /// Not held: no sum carries it over.
    MeasureAgain(Unheld),
}

/// Why an entry has to be measured again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unheld {
    /// The cam or its timing is another.
    Cam,
    /// Another head is planned there.
    Head,
    /// What was changed since is none of what it follows.
    Changed,
    /// What is planned there cannot be predicted, or is not known.
    Unknown,
}

/// How far each change may go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Headroom {
    /// More lift at the valve.
    pub lift: Room,
    /// Less gasket.
    pub gasket: Room,
    /// A higher piston.
    pub piston: Room,
}

/// How far one change may go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Room {
    /// So far, in ticks: one tick more, and the entry is not held. Negative where it is not held as it stands.
    Upto(i64),
    /// It never stops the change: it does not lose by it, or less than any engine allows.
    Free,
}

/// A change that the ledger stops somewhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lever {
    /// More lift at the valves.
    Lift,
    /// Less gasket.
    Gasket,
    /// Higher pistons.
    Piston,
}

impl Lever {
    /// All of them, in the order of output.
    pub const ALL: [Self; 3] = [Self::Lift, Self::Gasket, Self::Piston];
}

impl Headroom {
    /// How far a change may go.
    #[must_use]
    pub const fn of(&self, lever: Lever) -> Room {
        match lever {
            Lever::Lift => self.lift,
            Lever::Gasket => self.gasket,
            Lever::Piston => self.piston,
        }
    }
}

/// The entry that stops a change first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stop {
    /// The change.
    pub lever: Lever,
    /// The entry.
    pub id: EntryId,
    /// How far the change may go.
    pub at: i64,
}
