//! The data of a plan, or of why there is none. Values are ticks of the fit's dimension.

use super::{NoPlan, Setting, Shopping};
use crate::job::{Bounding, FitName};

/// How sure it is that no plan is better.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// No better plan exists: a proof says so and was checked.
    Proven {
        /// So many criteria, from the aim on, are covered by the proof.
        levels: usize,
        /// The number of criteria.
        of: usize,
        /// So many, from the aim on, no other choice is better by: those beyond the proof by the word of a search
        /// that went through everything.
        settled: usize,
        /// By that word, too, the plan is the first of those equal by every criterion.
        is_first: bool,
    },
    /// Better plans are not excluded.
    BestFound {
        /// Why the search ended without a proof.
        reason: Stopped,
    },
}

/// Why a search ended before its proof.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stopped {
    /// It had looked at as many partial plans as it may.
    EffortSpent,
    /// A limit on a spread was held with the widest guard band of any two placements; by its own
    /// band another plan might hold it, too.
    WidestBand,
    /// No proof was found that the checker could follow.
    NoProof,
    /// For another reason of the solver's.
    Otherwise,
}

/// Parts in positions, and what results.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Heads and gaskets, where the match places them.
    pub setting: Setting,
    /// One placement a position, in bank order.
    pub placements: Vec<Placement>,
    /// The aim's fit over the placements.
    pub summary: Summary,
    /// The same bank by bank, in the order of the job; empty where there are no banks.
    pub banks: Vec<BankSummary>,
    /// Every limit that applies.
    pub limits: Vec<LimitReport>,
    /// Chance that all limits hold together, from joint draws; `None` without limits.
    pub chance_all_hold: Option<f64>,
    /// Parts of the role that varies (pistons) that the plan does not use, by index, in file order.
    pub left_out: Vec<usize>,
    /// Parts of the other roles that the plan does not use: role in `place`, then index.
    pub others_left_out: Vec<(usize, usize)>,
    /// Parts that move, where the stock says where parts stand now.
    pub moves: Option<usize>,
    /// What has to be bought for it; `None` where no part that could be placed has a price.
    pub shopping: Option<Shopping>,
}

/// A part in a position.
#[derive(Clone, Debug, PartialEq)]
pub struct Placement {
    /// Index of the position.
    pub position: usize,
    /// Index of the part, one for each role of the match, in the order of `place`.
    pub parts: Vec<usize>,
    /// Every fit that can be predicted here.
    pub fits: Vec<FitValue>,
}

/// A fit at one position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FitValue {
    /// The fit.
    pub fit: FitName,
    /// The predicted value.
    pub estimate: Estimate,
}

/// A predicted value and how well it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The value, in ticks.
    pub value: i64,
    /// Standard uncertainty, in ticks.
    pub u: f64,
    /// Effective degrees of freedom of `u`; infinite for typed values.
    pub dof: f64,
    /// Lower end of the 95 % interval of the true value, in ticks.
    pub low: f64,
    /// Upper end of the 95 % interval of the true value, in ticks.
    pub high: f64,
    /// The position was not read; its deck is taken from the straight line of its bank.
    pub from_line: bool,
}

/// One fit over all placements.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Summary {
    /// The aim's fit.
    pub fit: FitName,
    /// Largest less smallest predicted value.
    pub spread: i64,
    /// Sum of the predicted values.
    pub total: i64,
    /// Their mean, in ticks.
    pub mean: f64,
    /// Largest deviation from the target, where the aim has one.
    pub worst: Option<i64>,
    /// Root mean square deviation from the target, where the aim has one.
    pub off_target: Option<f64>,
    /// Root mean square deviation from the mean.
    pub scatter: f64,
    /// The true spread to expect, from joint draws.
    pub expected_spread: Interval,
}

/// The aim's fit over the placements of one bank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BankSummary {
    /// Index of the bank.
    pub bank: usize,
    /// Mean of the predicted values, in ticks.
    pub mean: f64,
    /// Largest less smallest predicted value.
    pub spread: i64,
    /// The true spread to expect, from joint draws.
    pub expected_spread: Interval,
}

/// A quantity known from draws, in ticks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Mean of the draws.
    pub value: f64,
    /// 2.5 % of the draws are lower.
    pub low: f64,
    /// 2.5 % of the draws are higher.
    pub high: f64,
}

impl Interval {
    /// Half the width: gains smaller than this are below the readings' doubt.
    #[must_use]
    pub fn doubt(&self) -> f64 {
        (self.high - self.low) / 2.0
    }
}

/// How one limit fares under a plan.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitReport {
    /// The fit.
    pub fit: FitName,
    /// Which bound.
    pub kind: LimitKind,
    /// The bound in ticks; where it differs by position, that of the tightest one.
    pub bound: i64,
    /// Whether it differs from position to position.
    pub by_position: bool,
    /// Whether the uncertainty is counted against the builder.
    pub guard: bool,
    /// Held, only nominally, or broken.
    pub state: LimitState,
    /// Index of the position with the least margin; `None` for a spread.
    pub tightest: Option<usize>,
    /// Distance from the predicted value to the bound there, in ticks; negative beyond it.
    pub margin: i64,
    /// The guard band there, in ticks; 0 with `guard = false`.
    pub band: f64,
}

/// Which bound a limit is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LimitKind {
    /// Least or greatest value at a position.
    Side(Bounding),
    /// Greatest spread over the positions.
    Spread,
    /// Greatest difference between neighbours of a bank.
    Neighbours,
}

/// Whether a limit holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitState {
    /// With the guard band inside it.
    Held,
    /// The predicted value is inside, its guard band is not.
    Nominal,
    /// The predicted value is outside.
    Broken,
}

/// Why there is no plan.
#[derive(Clone, Debug)]
pub struct Impossible {
    /// The setting of heads and gaskets that comes nearest to a plan; what follows is said of it.
    pub setting: Setting,
    /// Positions that compete for too few parts; none can be left out of the argument.
    pub positions: Vec<usize>,
    /// The parts they compete for.
    pub parts: Vec<usize>,
    /// What keeps other parts out of those positions.
    pub culprits: Vec<Culprit>,
    /// A limit on a spread was judged by the widest guard band of any two placements: by its own band a
    /// plan might hold it all the same.
    pub by_widest_band: bool,
    /// The proof that there is no plan, which the independent checker has gone over.
    pub no_plan: NoPlan,
    /// The plan that holds every limit only when the uncertainty is not counted, where there is one.
    pub nominal: Option<Box<Plan>>,
    /// What would make a guarded limit decidable, where the readings are too coarse for it.
    pub too_coarse: Vec<TooCoarse>,
}

/// What excludes a part from a position.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Culprit {
    /// A limit; with the smallest change of it alone that would give a plan, in ticks, where a
    /// change of this one limit is enough.
    Limit {
        /// The fit.
        fit: FitName,
        /// Which bound.
        kind: LimitKind,
        /// How far the bound must move outward.
        enough: Option<i64>,
        /// The setting of heads and gaskets with which that is enough.
        setting: Setting,
    },
    /// What may be spent.
    Spend {
        /// The least that a plan within the limits costs, in ticks of money.
        least: i64,
    },
    /// Parts kept in position, or barred from one.
    KeepOrBar,
    /// Where the stock says a part may go (`fits`).
    Fits,
    /// Readings that do not tie parts and positions together.
    Untied,
}

/// A minimum and a maximum closer together than their guard bands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TooCoarse {
    /// The fit.
    pub fit: FitName,
    /// Index of the position.
    pub position: usize,
    /// Room between minimum and maximum, in ticks.
    pub room: i64,
    /// Both guard bands together, in ticks, at their smallest over the parts.
    pub bands: f64,
    /// Repeats of every reading that would bring the bands inside the room; `None` when the
    /// gauge's own resolution forbids it.
    pub repeats: Option<u32>,
}

/// Something that the match needs and the job does not say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lack {
    /// The fit that needs it.
    pub fit: FitName,
    /// In plain words.
    pub what: String,
}
