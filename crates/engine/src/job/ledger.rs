//! The clearance ledger: what was measured on the mock-up, and how it moves.

use crate::quantity::Amount;

/// An entry of the ledger, by its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct EntryId(u16);

impl EntryId {
    /// The entry at `index` of [`Ledger::entries`].
    #[must_use]
    pub const fn new(index: u16) -> Self {
        Self(index)
    }

    /// Its place.
    #[must_use]
    pub const fn index(self) -> usize {
        self.0 as usize
    }
}

/// Every clearance that was measured on the mock-up, in the order of its file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ledger {
    /// The CSV file they came from; `None` where they stand in the job file.
    pub file: Option<String>,
    /// `[engine] cam`: the cam and its timing, by any name; an entry read with another has to be measured again.
    pub cam: Option<String>,
    /// What was cut off the crowns of pistons since, in nm: it makes room over the flat of a crown and nowhere else.
    /// Nothing in a job as it is read from its files.
    pub crowns: Vec<(usize, i64)>,
    /// The entries.
    pub entries: Vec<Clearance>,
}

/// One clearance, measured with known parts in a known place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clearance {
    /// What the user calls it; no two have one name.
    pub name: String,
    /// How it moves.
    pub moves: Moves,
    /// Index of the cylinder it was read at.
    pub cylinder: Option<usize>,
    /// Index of the valve it was read at, among all valves.
    pub valve: Option<usize>,
    /// What was read.
    pub reading: Amount,
    /// Its standard uncertainty, where stated.
    pub u: Option<Amount>,
    /// The least that may be left of it.
    pub minimum: Amount,
    /// What stood there when it was read.
    pub read_with: ReadWith,
    /// What has been changed since.
    pub since: Since,
    /// Something has changed that no sum carries over: it has to be measured again.
    pub measure_again: bool,
    /// Line of its file, or of the job file.
    pub line: u32,
}

/// How a clearance moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moves {
    /// Piston to valve.
    PistonToValve {
        /// What the valve comes near to; the larger loss counts where it is not stated.
        surface: Option<Surface>,
        /// The valve's angle to the bore, in millionths of a degree, from 0 to 60 degrees.
        angle: i64,
    },
    /// Spring retainer to valve guide or its seal: loses the extra lift.
    RetainerToGuide,
    /// Spring at full lift to its coils touching: loses the extra lift.
    CoilBind,
    /// By what the user states: millionths of a growth that it gains.
    Stated {
        /// Per deck clearance.
        deck: i64,
        /// Per gasket thickness.
        gasket: i64,
        /// Per valve lift.
        lift: i64,
    },
}

/// What a valve comes near to on the piston's crown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// A pocket, square to the valve.
    Pocket,
    /// The flat of the crown, square to the bore.
    Flat,
}

/// What stood there when a clearance was read. Parts are indices into the stock of their kind.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReadWith {
    /// The piston.
    pub piston: Option<usize>,
    /// The rod.
    pub rod: Option<usize>,
    /// The gasket.
    pub gasket: Option<usize>,
    /// The head.
    pub head: Option<usize>,
    /// The rocker.
    pub rocker: Option<usize>,
    /// Lift of the valve at the top of its lobe.
    pub lift: Option<Amount>,
    /// Lift of the valve at the crank angle of the reading.
    pub lift_there: Option<Amount>,
    /// The cam and its timing, where the entry says so.
    pub cam: Option<String>,
}

/// What has been changed since a clearance was read, in nm: by how much the parts that it was read with would stand
/// otherwise now. All nothing in a job as it is read from its files.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Since {
    /// By how much the deck clearance of those parts has grown.
    pub deck: i64,
    /// By how much that gasket has grown thicker.
    pub gasket: i64,
    /// By how much that valve lifts further.
    pub lift: i64,
}

/// Whether a clearance follows deck clearance, gasket thickness and valve lift.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Follows {
    /// Deck clearance.
    pub deck: bool,
    /// Gasket thickness.
    pub gasket: bool,
    /// Valve lift.
    pub lift: bool,
}

impl Moves {
    /// What it follows.
    #[must_use]
    pub const fn follows(self) -> Follows {
        match self {
            Self::PistonToValve { .. } => Follows { deck: true, gasket: true, lift: true },
            Self::RetainerToGuide | Self::CoilBind => Follows { deck: false, gasket: false, lift: true },
            Self::Stated { deck, gasket, lift } => Follows { deck: deck != 0, gasket: gasket != 0, lift: lift != 0 },
        }
    }
}

impl Ledger {
    /// So many entries are the most.
    pub const MOST: usize = 1_000;

    /// The entries with their places, in order; none beyond [`Ledger::MOST`].
    pub fn numbered(&self) -> impl Iterator<Item = (EntryId, &Clearance)> {
        (0..).map(EntryId::new).zip(&self.entries).take(Self::MOST)
    }

    /// The entry behind an id; `None` for an id of another job.
    #[must_use]
    pub fn get(&self, id: EntryId) -> Option<&Clearance> {
        self.entries.get(id.index())
    }

    /// Another cam, or another crank: whatever hangs on when a valve opens, at one valve or at all, has to be measured
    /// again.
    pub fn measure_timing_again(&mut self, valve: Option<usize>) {
        let timed = self.entries.iter_mut().filter(|entry| matches!(entry.moves, Moves::PistonToValve { .. }));
        let here = timed.filter(|entry| valve.is_none() || entry.valve.is_none() || entry.valve == valve);
        here.for_each(|entry| entry.measure_again = true);
    }

    /// Whether an entry has to be measured again because the cam or its timing is another than it was read with: where
    /// both are named and differ. Only what depends on when the valve opens does; a greatest lift is carried over.
    #[must_use]
    pub fn has_another_cam(&self, entry: &Clearance) -> bool {
        let timed = matches!(entry.moves, Moves::PistonToValve { .. });
        let named = entry.read_with.cam.as_ref().zip(self.cam.as_ref());
        timed && named.is_some_and(|(read, planned)| read != planned)
    }
}
