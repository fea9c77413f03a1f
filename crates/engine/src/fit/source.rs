//! Where an error comes from, so that seats which share it can be told from seats which do not.

use crate::job::Job;

/// Whose size it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Owner {
    /// One number for every position: an error common to all of them.
    Engine,
    Cylinder,
    Piston,
    Rod,
    Head,
    Gasket,
    Rocker,
    /// The lobe over which the lift of rockers was read, by the first of them: an error common to all of those.
    ReferenceLobe,
    Valve,
    /// Any other part of a position, by the place of its stock in the job: in whichever role it stands, it is one part.
    Part(u16),
    /// A position of another kind, by the place of its kind in the job.
    Position(u16),
    /// An entry of the clearance ledger.
    Entry,
}

impl Owner {
    /// The parts of the stock of `kind`, one of the job's own.
    pub(super) fn part(job: &Job, kind: &str) -> Option<Self> {
        let stock = job.stocks.iter().position(|stock| stock.kind == kind)?;
        u16::try_from(stock).ok().map(Self::Part)
    }
}

/// Which size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Size {
    Bore,
    Stroke,
    Throw,
    Length,
    DeckHeight,
    CompressionHeight,
    Diameter,
    Mass,
    Dish,
    Crevice,
    Chamber(u16),
    Recess,
    Thickness,
    Volume,
    LobeLift,
    Lash,
    Ratio,
    Lift,
    ReferenceLobe,
    /// A clearance as it was read.
    Reading,
    /// A column that only declared fits read, by its place among their terms.
    Named(u16),
}

/// One size of one part, position or engine: what has an error of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Source {
    owner: Owner,
    index: u32,
    size: Size,
}

impl Source {
    /// `size` of the part or position at `index`.
    pub(super) fn of(owner: Owner, index: usize, size: Size) -> Self {
        Self { owner, index: u32::try_from(index).unwrap_or(u32::MAX), size }
    }

    /// `size` of the engine, common to every position.
    pub(super) const fn common(size: Size) -> Self {
        Self { owner: Owner::Engine, index: 0, size }
    }

    /// Whether seats in different positions with different parts of every position's own can have it in common.
    pub(super) const fn may_be_shared(self) -> bool {
        match self.owner {
            Owner::Engine | Owner::Head | Owner::Gasket | Owner::ReferenceLobe => true,
            Owner::Cylinder
            | Owner::Piston
            | Owner::Rod
            | Owner::Rocker
            | Owner::Valve
            | Owner::Part(_)
            | Owner::Position(_)
            | Owner::Entry => false,
        }
    }
}
