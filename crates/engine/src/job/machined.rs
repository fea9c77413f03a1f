//! Metal taken off, and volumes changed, after the parts and the block were measured.

/// What the machine shop does to measured parts, in ticks. Everything empty is as it was measured.
///
/// Readings stay as they were typed: what was cut is added to what they predict, so that nothing is reduced twice.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Machined {
    /// Metal off the deck at every cylinder: by so much its deck clearance rises. Where the height of the deck was
    /// measured, and no dial was read, the cut is in the height.
    pub decks: Vec<i64>,
    /// Metal off the crown of every piston that was read with a dial: by so much its deck clearance falls.
    pub crowns: Vec<i64>,
    /// How much higher every piston comes by another crank or other rods than those that the dial was read with.
    pub reach: i64,
    /// How much more every chamber of every head holds: a head, a chamber, the change.
    pub chambers: Vec<(usize, usize, i64)>,
}

impl Machined {
    /// By how much deck clearance is higher than parts and block were measured to make it.
    #[must_use]
    pub fn raised(&self, cylinder: usize, piston: usize) -> i64 {
        self.shares(cylinder, piston).into_iter().sum()
    }

    /// What of that is the cylinder's, and what the piston's.
    #[must_use]
    pub fn shares(&self, cylinder: usize, piston: usize) -> [i64; 2] {
        let of = |all: &[i64], index: usize| all.get(index).copied().unwrap_or(0);
        [of(&self.decks, cylinder) + self.reach, -of(&self.crowns, piston)]
    }

    /// How much more a chamber of a head holds, both counted from 0.
    #[must_use]
    pub fn roomier(&self, head: usize, chamber: usize) -> i64 {
        let same = |&&(of, at, _): &&(usize, usize, i64)| (of, at) == (head, chamber);
        self.chambers.iter().filter(same).map(|&(_, _, by)| by).sum()
    }

    /// Takes `by` off the deck at a cylinder.
    pub fn cut_deck(&mut self, cylinder: usize, by: i64) {
        add(&mut self.decks, cylinder, by);
    }

    /// Takes `by` off the crown of a piston.
    pub fn cut_crown(&mut self, piston: usize, by: i64) {
        add(&mut self.crowns, piston, by);
    }
}

fn add(all: &mut Vec<i64>, index: usize, by: i64) {
    if all.len() <= index {
        all.resize(index + 1, 0);
    }
    all[index] += by;
}
