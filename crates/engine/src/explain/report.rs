//! The data of an explanation. Values are ticks of the aim's fit.

use super::Selection;
use crate::fit::Ingredient;
use crate::job::FitName;
use crate::plan::{LimitKind, LimitReport, Served, Setting};

/// Everything said about why a plan is the plan.
#[derive(Clone, Debug)]
pub struct Explanation {
    /// The engine as its parts stand now; `None` unless the stock says where enough parts stand.
    pub as_found: Option<AsFound>,
    /// What sets the spread; `None` where the spread is zero, and where evenness is not the aim.
    pub ends: Option<SpreadEnds>,
    /// The next best part for every placement, in bank order.
    pub runners_up: Vec<RunnerUp>,
    /// What forcing parts left out into the engine would cost, dearest last: all of them, or in a
    /// pile the [`Explanation::MOST_FORCED`] whose values come nearest to the plan's.
    pub forced_in: Vec<ForcedIn>,
    /// Parts left out of which no value is known, so that no plan could have them: by index.
    pub unread: Vec<usize>,
    /// Other plans that differ in substance.
    pub others: Vec<OtherPlan>,
    /// How the parts came out of their pile; `None` where fewer stay out than are placed.
    pub selection: Option<Selection>,
    /// What other heads, and other gaskets, would cost.
    pub settings: Vec<OtherSetting>,
    /// What leaves the values uneven, the largest share first; empty for a fit that is made of one thing only.
    pub contributions: Vec<Contribution>,
    /// What a little more of gasket, deck clearance or chamber would do, the parts staying as planned; without those
    /// that would do nothing.
    pub little_more: Vec<LittleMore>,
    /// The plan without each reading that disagrees with the others.
    pub flagged_out: Vec<FlaggedOut>,
    /// What to carry where, as chains of moves; empty where the stock does not say where parts stand.
    pub steps: Vec<Vec<Step>>,
    /// The same of every other role whose stock says where parts stand, and of which any part moves.
    pub other_steps: Vec<RoleSteps>,
}

impl Explanation {
    /// At most so many parts left out are priced.
    pub const MOST_FORCED: usize = 12;
}

/// The engine as found.
#[derive(Clone, Debug, PartialEq)]
pub struct AsFound {
    /// Heads and gaskets as they stand.
    pub setting: Setting,
    /// The part of the second role at every position, where two are placed.
    pub seconds: Vec<usize>,
    /// The part at every position, by index.
    pub parts: Vec<usize>,
    /// The aim's fit there, in ticks, in bank order.
    pub values: Vec<i64>,
    /// Largest less smallest.
    pub spread: i64,
    /// How every limit fares there.
    pub limits: Vec<LimitReport>,
    /// What the plan gains on it.
    pub gain: Gain,
}

/// A gain in spread and whether it can be believed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gain {
    /// Predicted gain, in ticks; negative is a loss.
    pub spread: i64,
    /// It is smaller than the doubt of the expected true spread.
    pub below_doubt: bool,
}

/// The two ends of the spread and why neither can move.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SpreadEnds {
    /// Index of the position with the smallest value.
    pub low: usize,
    /// Its value.
    pub low_value: i64,
    /// Index of the position with the largest value.
    pub high: usize,
    /// Its value.
    pub high_value: i64,
    /// Why the low end cannot rise while the high end stays.
    pub low_immovable: Immovable,
    /// Why the high end cannot fall while the low end stays.
    pub high_immovable: Immovable,
}

/// Why an end cannot move inward.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Immovable {
    /// These positions would compete for these parts alone.
    Competing {
        /// Indices of the positions.
        positions: Vec<usize>,
        /// Indices of the parts.
        parts: Vec<usize>,
    },
    /// A limit on the spread of another fit stands in the way.
    OtherSpread,
    /// The end could move, at the price of what the aim ranks higher.
    Outranked,
    /// The search ended before it was found out whether the end can move.
    Undecided,
}

/// What an alternative costs, as the pair (spread, scatter).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Price {
    /// More spread than the plan, in ticks.
    pub spread: i64,
    /// More root mean square deviation from the mean than the plan, in ticks.
    pub scatter: f64,
    /// More of the aim itself where it is neither of these: of the worst deviation or the total
    /// given up, in ticks.
    pub aim: i64,
    /// More money to spend on the parts of the role that varies, in ticks of money.
    pub money: i64,
    /// The price is smaller than the readings' doubt.
    pub below_doubt: bool,
    /// Whether it may be less, because a search ended before it was through.
    pub at_most: AtMost,
}

/// What of a price may be less: a better plan is not ruled out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum AtMost {
    /// Nothing: no plan costs less.
    #[default]
    Nothing,
    /// Only what comes after the aim.
    AfterTheAim,
    /// All of it.
    All,
}

/// Another plan, or none.
#[derive(Clone, Debug, PartialEq)]
pub enum Alternative {
    /// The best plan under the condition.
    Found {
        /// Its heads and gaskets.
        setting: Setting,
        /// Its part of the second role at every position, where two are placed.
        seconds: Vec<usize>,
        /// The part at every position, by index, in bank order.
        parts: Vec<usize>,
        /// What it costs against the plan.
        price: Price,
    },
    /// No plan meets the condition within the limits.
    NoPlan,
    /// No plan meets the condition for what may be spent.
    TooDear {
        /// What the cheapest that does so within the limits costs, all roles together and in ticks of money; `None` where
        /// the search for it ended early, and there may be none.
        least: Option<i64>,
    },
    /// No plan was found before the search ended; there may be one.
    Undecided,
}

/// The best plan that puts another part in a position.
#[derive(Clone, Debug, PartialEq)]
pub struct RunnerUp {
    /// Index of the position.
    pub position: usize,
    /// The best plan without the chosen part there; its part at this position is the runner-up.
    pub plan: Alternative,
}

/// The best plan that uses a part left out.
#[derive(Clone, Debug, PartialEq)]
pub struct ForcedIn {
    /// Index of the part.
    pub part: usize,
    /// The best plan that has it in the engine.
    pub plan: Alternative,
}

/// The best plan with other heads, or other gaskets.
#[derive(Clone, Debug, PartialEq)]
pub struct OtherSetting {
    /// Index in `place` of the role that is set otherwise.
    pub role: usize,
    /// What is set otherwise.
    pub served: Vec<Served>,
    /// The parts are the plan's own, on other banks.
    pub turned_about: bool,
    /// The best plan with it.
    pub plan: Alternative,
}

/// How much one thing contributes to what is left uneven.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Contribution {
    /// What it is.
    pub of: Ingredient,
    /// The spread of the aim's fit that would be left if only this differed from position to position, all else
    /// being what it is on the average; in ticks.
    pub spread: i64,
}

/// What there is a little more of, everywhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum More {
    /// Gasket thickness.
    Gasket,
    /// Deck clearance: the pistons higher over a lower deck.
    Deck,
    /// Chamber volume.
    Chamber,
}

/// What a little more of one thing would do to the plan as it stands, nothing chosen anew.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LittleMore {
    /// What there is more of.
    pub of: More,
    /// How much more, in ticks.
    pub by: i64,
    /// Growth of the mean of the aim's fit, in ticks.
    pub mean: f64,
    /// Growth of its spread, in ticks.
    pub spread: i64,
    /// What becomes of the tightest clearance that follows any of these; `None` where none does.
    pub tightest: Option<Lost>,
}

/// A clearance that gains or loses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lost {
    /// The fit that is limited.
    pub fit: FitName,
    /// Which bound.
    pub kind: LimitKind,
    /// Room to the limit as planned, guard band taken off, in ticks.
    pub room: i64,
    /// How much more room there would be, in ticks; negative is less.
    pub gains: i64,
}

/// A plan that differs in substance.
#[derive(Clone, Debug, PartialEq)]
pub enum OtherPlan {
    /// The best with another set of parts left out: the chosen part `without` stays on the shelf.
    OtherParts {
        /// Index of the chosen part that it leaves out.
        without: usize,
        /// The plan.
        plan: Alternative,
    },
    /// The best among those with the fewest moves.
    FewestMoves {
        /// How many parts it moves.
        moves: usize,
        /// How many the plan itself moves.
        plan_moves: usize,
        /// The plan.
        plan: Alternative,
    },
}

/// What disagrees with its like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flagged {
    /// A dial reading of deck clearance.
    Reading,
    /// A pour of a chamber.
    Pour,
}

/// The plan as it would be without a reading that disagrees.
#[derive(Clone, Debug, PartialEq)]
pub struct FlaggedOut {
    /// Whether it is a reading or a pour.
    pub of: Flagged,
    /// Lines of the file that are left out together.
    pub lines: Vec<u32>,
    /// The plan without it is the plan itself.
    pub same_plan: bool,
    /// Heads and gaskets of the plan without it.
    pub setting: Setting,
    /// The part at every position without it; `None` when there is then no plan.
    pub parts: Option<Vec<usize>>,
    /// The part of the second role at every position, where two are placed.
    pub seconds: Vec<usize>,
    /// No plan was found before the search ended; there may be one.
    pub undecided: bool,
    /// Spread of that plan, by the readings that remain, in ticks.
    pub spread: Option<i64>,
    /// Positions whose part differs from the plan.
    pub changed: Vec<usize>,
}

/// What to carry where of one role.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoleSteps {
    /// Index of the role in the match's `place`.
    pub role: usize,
    /// The chains of moves; places are banks where the role serves banks, else positions.
    pub steps: Vec<Vec<Step>>,
}

/// One part to carry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// Index of the part.
    pub part: usize,
    /// Where it stands now; `None` is the shelf.
    pub from: Option<usize>,
    /// Where it goes; `None` is the shelf.
    pub to: Option<usize>,
}
