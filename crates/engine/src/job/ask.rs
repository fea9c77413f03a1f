//! What a match asks for.

use super::FitName;
use crate::quantity::Amount;

/// One `[[match]]`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Matching {
    /// `name`, or `match 1` where none is given.
    pub name: String,
    /// `place`: what to place.
    pub place: Vec<Role>,
    /// What to make of which fit.
    pub aim: Aim,
    /// `then`: what decides after the aim; `None` is the default order.
    pub then: Option<Vec<Next>>,
    /// `limits`.
    pub limits: Vec<LimitAsked>,
    /// `keep`: parts that must go where they are kept.
    pub keep: Vec<Pin>,
    /// `bar`: parts that must not go there.
    pub bar: Vec<Pin>,
    /// Line in the job file.
    pub line: u32,
}

/// A part kind to place, and the name it takes in output.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Role {
    /// The stock's kind.
    pub kind: String,
}

/// What to make of a fit over all positions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Aim {
    /// The fit.
    pub fit: FitName,
    /// Even, near, highest or lowest.
    pub goal: Goal,
    /// What is measured to judge the goal.
    pub by: Measured,
    /// How much the aim may give for what comes next, in the aim's own unit; a slack on squares or
    /// totals is in the unit of the fit too (root mean square, or total).
    pub slack: Option<Amount>,
}

/// The direction of an aim.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Goal {
    /// All positions alike.
    Even,
    /// All positions close to a value.
    Near(Amount),
    /// As high as possible.
    Highest,
    /// As low as possible.
    Lowest,
}

/// How an aim is judged over all positions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measured {
    /// Largest less smallest value (`even`).
    Spread,
    /// Largest deviation from the target (`near`).
    Worst,
    /// Sum of squared deviations, from the mean (`even`) or the target (`near`).
    Squares,
    /// Sum over the positions (`highest`, `lowest`).
    Total,
    /// The least value (`highest`) or the greatest (`lowest`).
    Extreme,
}

/// One entry of `then`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Next {
    /// Least spread of a fit.
    Spread(FitName),
    /// Fewest moves from where the parts stand now.
    Moves,
    /// Least total price.
    Price,
}

/// `limits = { FIT = { min, max, spread, guard } }`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LimitAsked {
    /// The fit.
    pub fit: FitName,
    /// Least value allowed.
    pub min: Option<Amount>,
    /// Greatest value allowed.
    pub max: Option<Amount>,
    /// Greatest spread allowed over the positions.
    pub spread: Option<Amount>,
    /// Whether the uncertainty counts against the builder (`true` unless the job says otherwise).
    pub guard: bool,
    /// Line in the job file.
    pub line: u32,
}

/// A part in a position, kept or barred.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pin {
    /// Index of the position.
    pub position: usize,
    /// Index of the part in the stock of the role.
    pub part: usize,
    /// Index of the role in `place`.
    pub role: usize,
}
