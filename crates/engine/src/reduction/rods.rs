//! Which rod each piston was read on.

use std::collections::BTreeMap;

use crate::job::{DeckReading, DeckReadings, Job};
use crate::quantity::Amount;

/// Readings corrected for more rods than this are corrected all the same, but the doubt of the lengths
/// beyond these does not enter: no engine has as many cylinders.
const MOST: usize = 64;

/// The rod that the readings of each piston refer to.
///
/// Readings of one piston are brought to the rod that its first reading in use was taken on. Where a
/// piston was always read on one rod nothing is changed, and the lengths of rods do not enter the
/// readings at all: piston and rod were read as one part.
#[derive(Clone, Debug)]
pub(super) struct Rods {
    control: Option<usize>,
    read_on: Vec<Option<usize>>,
}

impl Rods {
    /// Looks through the readings of `pistons` pistons; `used` says which of them count.
    pub(super) fn new(deck: &DeckReadings, pistons: usize, used: impl Fn(&DeckReading) -> bool) -> Self {
        let mut read_on = vec![None; pistons];
        let rows = || deck.rows.iter().rev();
        // The last to write is the first in the file, and one in use goes before one left out.
        for row in rows().filter(|row| !used(row)).chain(rows().filter(|row| used(row))) {
            if let Some(read_on) = read_on.get_mut(row.part) {
                *read_on = row.rod.or(deck.control_rod);
            }
        }
        Self { control: deck.control_rod, read_on }
    }

    /// The rod that the readings of `piston` refer to; `None` where nothing says it.
    pub(super) fn read_on(&self, piston: usize) -> Option<usize> {
        self.read_on.get(piston).copied().flatten()
    }

    /// The rod that readings were taken on where nothing else is said.
    pub(super) fn control(&self) -> Option<usize> {
        self.control
    }

    /// Whether the rods of any readings are known.
    pub(super) fn known(&self) -> bool {
        self.control.is_some() || self.read_on.iter().any(Option::is_some)
    }

    /// How much longer the rod of a reading is than the one its piston's readings refer to, in nm: so
    /// much higher the piston stood. 0 where one of the lengths is unknown.
    pub(super) fn longer(&self, job: &Job, row: &DeckReading) -> f64 {
        self.corrected(job, row).map_or(0.0, |[on, refers_to]| (on.length - refers_to.length) as f64)
    }

    /// For every rod whose length corrects readings, by how much its length changes each of them: a
    /// reading on it goes down as it is longer, one brought to it goes up.
    pub(super) fn corrections(&self, job: &Job, deck: &DeckReadings) -> BTreeMap<usize, Vec<f64>> {
        let mut by_rod: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
        for (at, row) in deck.rows.iter().enumerate() {
            let Some([on, refers_to]) = self.corrected(job, row) else { continue };
            for (rod, by) in [(on.rod, -1.0), (refers_to.rod, 1.0)] {
                if by_rod.len() < MOST || by_rod.contains_key(&rod) {
                    by_rod.entry(rod).or_insert_with(|| vec![0.0; deck.rows.len()])[at] = by;
                }
            }
        }
        by_rod
    }

    /// The rod of a reading and that which it is brought to, where they differ and both lengths are known.
    fn corrected(&self, job: &Job, row: &DeckReading) -> Option<[Rod; 2]> {
        let (on, refers_to) = (row.rod.or(self.control)?, self.read_on(row.part)?);
        let lengths = &job.stock("rod")?.columns;
        let rod = |rod| Some(Rod { rod, length: lengths.value("length", rod).map(Amount::ticks)? });
        if on == refers_to { None } else { Some([rod(on)?, rod(refers_to)?]) }
    }
}

#[derive(Clone, Copy, Debug)]
struct Rod {
    rod: usize,
    length: i64,
}
