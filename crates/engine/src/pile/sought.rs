//! What is sought over all positions, and what a better value of it gains.

use pairwright_assign::{Measure, Sense};

use crate::job::{Aim, Goal, Measured};

/// What is to be made of a fit over all positions: a measure, and whether less or more of it is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sought {
    measure: Measure,
    sense: Sense,
}

impl Sought {
    /// The least spread.
    pub const EVEN: Self = Self { measure: Measure::Spread, sense: Sense::Least };
    /// The least squares about the mean.
    pub const EVEN_BY_SQUARES: Self = Self { measure: Measure::SquaresAboutMean, sense: Sense::Least };
    /// The greatest total.
    pub const HIGHEST: Self = Self { measure: Measure::Total, sense: Sense::Most };
    /// The greatest least value.
    pub const HIGHEST_BY_LEAST: Self = Self { measure: Measure::Least, sense: Sense::Most };
    /// The least total.
    pub const LOWEST: Self = Self { measure: Measure::Total, sense: Sense::Least };
    /// The least greatest value.
    pub const LOWEST_BY_GREATEST: Self = Self { measure: Measure::Greatest, sense: Sense::Least };

    /// The least worst deviation from `target` ticks.
    pub const fn near(target: i64) -> Self {
        Self { measure: Measure::WorstFrom { target }, sense: Sense::Least }
    }

    /// The least squares about `target` ticks.
    pub const fn near_by_squares(target: i64) -> Self {
        Self { measure: Measure::SquaresFrom { target }, sense: Sense::Least }
    }

    /// What the aim of a match seeks.
    pub fn of(aim: &Aim) -> Self {
        match (aim.goal, aim.by) {
            (Goal::Even, Measured::Squares) => Self::EVEN_BY_SQUARES,
            (Goal::Even, _) => Self::EVEN,
            (Goal::Near(target), Measured::Squares) => Self::near_by_squares(target.ticks()),
            (Goal::Near(target), _) => Self::near(target.ticks()),
            (Goal::Highest, Measured::Extreme) => Self::HIGHEST_BY_LEAST,
            (Goal::Highest, _) => Self::HIGHEST,
            (Goal::Lowest, Measured::Extreme) => Self::LOWEST_BY_GREATEST,
            (Goal::Lowest, _) => Self::LOWEST,
        }
    }

    /// What the solver measures.
    pub const fn measure(self) -> Measure {
        self.measure
    }

    /// Whether less or more of it is better.
    pub const fn sense(self) -> Sense {
        self.sense
    }

    /// Whether `one` is at least as good as `other`.
    pub fn reaches(self, one: f64, other: f64) -> bool {
        self.gain(other, one) >= 0.0
    }

    /// How much better `then` is than `now`; negative where it is worse.
    pub fn gain(self, now: f64, then: f64) -> f64 {
        match self.sense {
            Sense::Least => now - then,
            Sense::Most => then - now,
        }
    }

    /// The solver's measure in ticks of the fit: squares become their root mean square.
    pub(super) fn in_ticks(self, value: i128, positions: usize) -> f64 {
        let (value, n) = (value as f64, positions as f64);
        match self.measure {
            // The solver's squares about the mean are n times their sum.
            Measure::SquaresAboutMean => value.max(0.0).sqrt() / n,
            Measure::SquaresFrom { .. } => (value.max(0.0) / n).sqrt(),
            _ => value,
        }
    }
}
