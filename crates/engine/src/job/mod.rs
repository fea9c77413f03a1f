//! The model of a job: what was measured, what may go where, what is asked for.
//!
//! A [`Job`] is complete and consistent in itself: names are resolved to indices, amounts are
//! checked. Whoever builds one (the file reader, a test) reports what was wrong with the text; the
//! rooms downstream need not ask again. Every item remembers the line it came from, so that a
//! finding can name it.

mod ask;
mod bank;
mod chamber;
mod columns;
mod declared;
mod fit_name;
mod ledger;
mod machined;
mod pieces;
mod position;
mod reading;
mod stock;
mod what_if;

pub use ask::{Aim, Buying, Goal, LimitAsked, Matching, Measured, Next, Pin, Role, Scope};
pub use bank::{Bank, HeadSeat};
pub use chamber::{ChamberReading, ChamberReadings};
pub use columns::{Column, Columns, Typed};
pub use declared::{DeclaredFit, DeclaredFits, DeclaredId, Term};
pub use fit_name::{BuiltIn, FitName};
pub use ledger::{Clearance, EntryId, Follows, Ledger, Moves, ReadWith, Since, Surface};
pub use machined::Machined;
pub use position::{Bounding, PositionLimit, Positions};
pub use reading::{DeckReading, DeckReadings, Positive};
pub use stock::{Part, Place, Stock};
pub use what_if::{BoundOf, Change, Dish, WhatIf};

use crate::quantity::{Amount, Unit};

/// The kind of positions that stand on banks, under heads and gaskets.
pub const CYLINDER: &str = "cylinder";

/// The kind of positions that rockers lift, and that entries of the ledger are read at.
pub const VALVE: &str = "valve";

/// Everything that one job folder says.
#[derive(Clone, Debug)]
pub struct Job {
    /// Title as typed; used on every output.
    pub title: String,
    /// The length unit that bare lengths are in and that output is shown in.
    pub units: Unit,
    /// Risk that a true value lies beyond a limit that is called held, per limit and position;
    /// inside (0, 0.5).
    pub risk: f64,
    /// Seed of the draws.
    pub seed: u64,
    /// `[engine]`.
    pub engine: EngineSizes,
    /// `[banks]`, in the order of the job file.
    pub banks: Vec<Bank>,
    /// Positions by kind (`cylinder`), each in bank order, front to back; behind them those parts of a kind that a match
    /// serves alone (`only`).
    pub positions: Vec<Positions>,
    /// Stocks by kind (`piston`, `rod`, `head`, `gasket`, `rocker` …).
    pub stocks: Vec<Stock>,
    /// `[uncertainty]`: standard uncertainty of a typed column, by column name.
    pub uncertainty: Vec<(String, Amount)>,
    /// `[fit.NAME]`: the fits that the job declares.
    pub fits: DeclaredFits,
    /// `[readings] deck`.
    pub deck: Option<DeckReadings>,
    /// `[readings] chamber`.
    pub chambers: Option<ChamberReadings>,
    /// `[[clearance]]`, or the CSV file of them: what was measured on the mock-up.
    pub ledger: Ledger,
    /// `[[match]]`, in the order of the job file.
    pub matches: Vec<Matching>,
    /// What was cut after everything was measured: nothing, but in a job that a what-if made.
    pub machined: Machined,
    /// `[[what_if]]`, in the order of the job file.
    pub what_ifs: Vec<WhatIf>,
}

/// Sizes common to every position.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct EngineSizes {
    /// Nominal bore.
    pub bore: Option<Amount>,
    /// Stroke.
    pub stroke: Option<Amount>,
    /// Volume of the gap above the top ring and of whatever else is open to the chamber, where a cylinder has
    /// none of its own.
    pub crevice: Option<Amount>,
    /// Rod length, centre to centre, where no stock of rods says it.
    pub rod_length: Option<Amount>,
    /// Crank centre to deck, where a cylinder has none of its own.
    pub deck_height: Option<Amount>,
    /// Lift of the cam's lobes, where a valve has none of its own.
    pub lobe_lift: Option<Amount>,
    /// Lift of the lobe over which the lift of rockers was read, where a rocker has none of its own.
    pub reference_lobe: Option<Amount>,
    /// Metal that may come off the crown of a piston, where a piston has no figure of its own.
    pub crown_allowance: Option<Amount>,
}

impl Job {
    /// The stock of `kind`.
    #[must_use]
    pub fn stock(&self, kind: &str) -> Option<&Stock> {
        self.stocks.iter().find(|stock| stock.kind == kind)
    }

    /// The positions that a match serves.
    #[must_use]
    pub fn positions_of(&self, matching: &Matching) -> Option<&Positions> {
        self.positions.get(matching.positions)
    }

    /// All positions of `kind`.
    #[must_use]
    pub fn positions(&self, kind: &str) -> Option<&Positions> {
        self.positions.iter().find(|positions| positions.kind == kind)
    }

    /// The standard uncertainty that `[uncertainty]` states for `column`, in ticks.
    #[must_use]
    pub fn stated_uncertainty(&self, column: &str) -> Option<f64> {
        self.uncertainty.iter().find(|(name, _)| name == column).map(|(_, amount)| amount.ticks() as f64)
    }
}
