//! A joint problem: a statement, an aim, and where to start from.

use super::floors::JointFloors;
use super::limits::SumLimit;
use pairwright_proof::{
    Couple, Item, JointChoice, JointFault, JointStatement, JointStatementError, Measure, Slot, check_joint,
    evaluate_joint,
};

/// What to make least.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum JointAim {
    /// Largest minus smallest value.
    Spread,
    /// The largest |v − target|. A target beyond every value makes the greatest or the least value decide.
    WorstFrom {
        /// Where every value should be, in ticks.
        target: i64,
    },
    /// Σ (v − target)².
    SquaresFrom {
        /// Where every value should be, in ticks.
        target: i64,
    },
    /// n·Σ v² − (Σ v)² over n slots.
    SquaresAboutMean,
    /// Σ v. For the greatest total let the scale turn the sign.
    Total,
}

impl JointAim {
    /// The same as the checker's measure.
    pub const fn measure(self) -> Measure {
        match self {
            Self::Spread => Measure::Spread,
            Self::WorstFrom { target } => Measure::WorstFrom { target },
            Self::SquaresFrom { target } => Measure::SquaresFrom { target },
            Self::SquaresAboutMean => Measure::SquaresAboutMean,
            Self::Total => Measure::Total,
        }
    }
}

/// Why a joint problem cannot be stated or solved.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum JointError {
    /// The statement does not hold together.
    #[error("not a joint problem")]
    Statement(#[from] JointStatementError),
    /// A target beyond what values may be.
    #[error("the target {target} is outside ±{}", JointStatement::LIMIT)]
    Target {
        /// The target given, in ticks.
        target: i64,
    },
    /// More triples of a slot and two items than can be held.
    #[error("{triples} triples of a slot and two items are more than {}", JointProblem::MOST_TRIPLES)]
    TooMany {
        /// How many there are.
        triples: u64,
    },
    /// There is no such item of the first kind.
    #[error("there is no item {item} of the first kind")]
    NoItem {
        /// The item named.
        item: Item,
    },
    /// The scale gives a value too large to calculate with.
    #[error("the value {value} of slot {slot} with items {} and {} is outside ±{}", items.first, items.second, JointStatement::LIMIT)]
    Magnitude {
        /// The slot.
        slot: Slot,
        /// Its two items.
        items: Couple,
        /// What the scale gave.
        value: i64,
    },
    /// Floors are kept for values that follow from items alone, and serve the same aim over as many outer choices.
    #[error("these floors are not of this problem")]
    Floors,
    /// The choice to start from exceeds a limit.
    #[error("the choice to start from exceeds a limit")]
    Limit,
    /// The choice to start from breaks a rule.
    #[error("the choice to start from breaks a rule")]
    Start(#[source] JointFault),
}

/// What to solve: every slot gets an item of each kind, no item twice, under one outer choice.
#[derive(Clone, Debug)]
pub struct JointProblem<'a> {
    statement: JointStatement<'a>,
    aim: JointAim,
    start: Option<JointChoice>,
    brought_in: Option<Item>,
    floors: Option<JointFloors>,
    limits: &'a [SumLimit<'a>],
    seed: u64,
    tie_effort: u64,
}

impl<'a> JointProblem<'a> {
    /// The largest number of triples slots × items × items: 2²⁵.
    pub const MOST_TRIPLES: u64 = 1 << 25;
    /// The tie effort of a problem for which none is asked.
    pub const USUAL_TIE_EFFORT: u64 = 4;

    /// A problem from its parts.
    ///
    /// # Errors
    /// [`JointError`] if the parts do not fit each other or are too large.
    pub fn new(statement: JointStatement<'a>, aim: JointAim) -> Result<Self, JointError> {
        statement.check()?;
        let (first, second) = (statement.first.shape(), statement.second.shape());
        let triples = first.slots as u64 * first.items as u64 * second.items as u64;
        if triples > Self::MOST_TRIPLES {
            return Err(JointError::TooMany { triples });
        }
        match aim {
            JointAim::WorstFrom { target } | JointAim::SquaresFrom { target }
                if !(-JointStatement::LIMIT..=JointStatement::LIMIT).contains(&target) =>
            {
                Err(JointError::Target { target })
            }
            _ => Ok(Self {
                statement,
                aim,
                start: None,
                brought_in: None,
                floors: None,
                limits: &[],
                seed: 0,
                tie_effort: Self::USUAL_TIE_EFFORT,
            }),
        }
    }

    /// The same problem, searched from this choice instead of one of the solver's own. The answer is the same; how
    /// soon it comes, and what is found when the budget ends first, may not be.
    ///
    /// # Errors
    /// [`JointError::Start`] if the choice breaks a rule.
    pub fn start_from(mut self, choice: JointChoice) -> Result<Self, JointError> {
        let value = evaluate_joint(self.aim.measure(), &self.statement, &choice).map_err(JointError::Start)?;
        check_joint(&self.statement, self.aim.measure(), &choice, value).map_err(JointError::Start)?;
        if !self.limits.iter().all(|limit| limit.holds(&choice)) {
            return Err(JointError::Limit);
        }
        self.start = Some(choice);
        Ok(self)
    }

    /// The same problem, in which this item of the first kind has to be used.
    ///
    /// # Errors
    /// [`JointError::NoItem`] if there is no such item.
    pub fn bring_in(mut self, item: Item) -> Result<Self, JointError> {
        if item.index() >= self.statement.first.shape().items {
            return Err(JointError::NoItem { item });
        }
        self.brought_in = Some(item);
        Ok(self)
    }

    /// The same problem with the floors of one that allows all that this one does, which saves looking at outer choices
    /// that no level reaches.
    ///
    /// # Errors
    /// [`JointError::Floors`] if they are of another aim, or another number of outer choices.
    pub fn with_floors(mut self, floors: JointFloors) -> Result<Self, JointError> {
        if !floors.suits(&self) {
            return Err(JointError::Floors);
        }
        self.floors = Some(floors);
        Ok(self)
    }

    /// The same problem among the choices that keep these limits. Proofs ([`prove_joint`](crate::prove_joint)) know
    /// nothing of them.
    #[must_use]
    pub fn within(mut self, limits: &'a [SumLimit<'a>]) -> Self {
        self.limits = limits;
        self
    }

    /// The same problem with another seed for the first choices tried; matters only where the budget ends first.
    #[must_use]
    pub fn with_seed(mut self, seed: u64) -> Self {
        self.seed = seed;
        self
    }

    /// The same problem, with so many times the partial plans that its aim took (at least 2¹⁴) for settling ties; 0 leaves
    /// them open.
    #[must_use]
    pub fn with_tie_effort(mut self, times: u64) -> Self {
        self.tie_effort = times;
        self
    }

    /// The parts.
    pub fn statement(&self) -> &JointStatement<'a> {
        &self.statement
    }

    /// What is to be least.
    pub fn aim(&self) -> JointAim {
        self.aim
    }

    pub(crate) fn start(&self) -> Option<&JointChoice> {
        self.start.as_ref()
    }

    pub(crate) fn brought_in(&self) -> Option<Item> {
        self.brought_in
    }

    pub(crate) fn floors(&self) -> Option<&JointFloors> {
        self.floors.as_ref()
    }

    pub(crate) fn limits(&self) -> &'a [SumLimit<'a>] {
        self.limits
    }

    pub(crate) fn tie_effort(&self) -> u64 {
        self.tie_effort
    }

    pub(crate) fn seed(&self) -> u64 {
        self.seed
    }
}
