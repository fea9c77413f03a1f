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
    /// Index into the job's positions: those that the match serves.
    pub positions: usize,
    /// `gasket = "per bank"`: each bank may have a gasket of its own; else one type serves the engine.
    pub gasket_per_bank: bool,
    /// What to make of which fit.
    pub aim: Aim,
    /// `then`: what decides after the aim; `None` is the default order.
    pub then: Option<Vec<Next>>,
    /// What is bought for it, and how much may be spent.
    pub buying: Buying,
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
    /// What the part is called where it stands (`as`), such as `upper`; the kind unless the match says otherwise.
    pub name: String,
}

impl Role {
    /// A part of `kind`, called by its kind.
    #[must_use]
    pub fn of(kind: &str) -> Self {
        Self::called(kind, kind)
    }

    /// A part of `kind`, called `name` in its place.
    #[must_use]
    pub fn called(kind: &str, name: &str) -> Self {
        Self { kind: kind.to_owned(), name: name.to_owned() }
    }
}

/// Which places take a part of a role.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Scope {
    /// One a position.
    Position,
    /// One a bank.
    Bank,
    /// One for the whole engine.
    Engine,
}

impl Matching {
    /// Which places take a part of `kind`: heads go on banks, a gasket serves the engine or a bank, everything
    /// else goes to positions.
    #[must_use]
    pub fn scope(&self, kind: &str) -> Scope {
        match kind {
            "head" => Scope::Bank,
            "gasket" if self.gasket_per_bank => Scope::Bank,
            "gasket" => Scope::Engine,
            _ => Scope::Position,
        }
    }

    /// The place in `place` of the role that takes parts of `kind`, the first where several do.
    #[must_use]
    pub fn role(&self, kind: &str) -> Option<usize> {
        self.place.iter().position(|role| role.kind == kind)
    }

    /// The place in `place` of the role with this name.
    #[must_use]
    pub fn role_called(&self, name: &str) -> Option<usize> {
        self.place.iter().position(|role| role.name == name)
    }

    /// The roles that take a part of one kind in every position, where several do: an upper and a lower shell. Empty
    /// where every role has a kind of its own.
    #[must_use]
    pub fn of_one_kind(&self) -> Vec<usize> {
        let like = |role: &Role| -> Vec<usize> {
            (0..self.place.len()).filter(|&at| self.place[at].kind == role.kind).collect()
        };
        self.place.iter().map(like).find(|roles| roles.len() > 1).unwrap_or_default()
    }
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
    /// Fewest pieces that have a price.
    Bought,
}

/// What a match says about money.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Buying {
    /// `first`: what counts before the aim; none of it is the spread of a fit.
    pub first: Vec<Next>,
    /// `spend`: greatest total price allowed.
    pub spend: Option<Amount>,
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
    /// Greatest difference allowed between neighbours of a bank.
    pub neighbours: Option<Amount>,
    /// Whether the uncertainty counts against the builder (`true` unless the job says otherwise).
    pub guard: bool,
    /// Line in the job file.
    pub line: u32,
}

/// A part in a position, kept or barred.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pin {
    /// Index of the place: of the position, of the bank for a role with one part a bank, 0 for one with one
    /// part for the engine.
    pub position: usize,
    /// Index of the part in the stock of the role.
    pub part: usize,
    /// Index of the role in `place`.
    pub role: usize,
}
