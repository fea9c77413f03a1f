//! What every fit answers.

use nalgebra::DMatrix;

use super::{Budget, Made, Seat};
use crate::job::FitName;
use crate::plan::Estimate;
use crate::statistics::{Dof, Risk, t_two_sided_factor};

/// How well a value is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Doubt {
    /// Standard uncertainty, in ticks.
    pub u: f64,
    /// Effective degrees of freedom; infinite for typed values.
    pub dof: Dof,
    /// The position was not read; its deck comes from the straight line of its bank.
    pub from_line: bool,
}

impl Doubt {
    /// Of a value that is taken as it is.
    pub const NONE: Self = Self { u: 0.0, dof: Dof::INFINITE, from_line: false };
}

/// A quantity that results where parts meet a position.
pub trait Fit: std::fmt::Debug + Sync {
    /// Which fit.
    fn name(&self) -> FitName;

    /// The predicted value in ticks; `None` where it cannot be predicted.
    fn value(&self, seat: Seat) -> Option<i64>;

    /// How well the value is known; `None` where it cannot be predicted.
    fn doubt(&self, seat: Seat) -> Option<Doubt>;

    /// Whether it says anything of a seat: what is left of a measured clearance does so of one position only.
    fn is_about(&self, _: Seat) -> bool {
        true
    }

    /// Joint covariance of the values of `seats`, in ticks²; zeros where one cannot be predicted.
    fn covariance(&self, seats: &[Seat]) -> DMatrix<f64>;

    /// What the error of the value is made of; `None` where it cannot be predicted.
    fn errors(&self, seat: Seat) -> Option<Budget>;

    /// The value taken apart, where it is made of more than one thing; `None` where not, or unknown.
    fn made(&self, seat: Seat) -> Option<Made>;

    /// The value with its 95 % interval (Student's t at the effective degrees of freedom,
    /// JCGM 100:2008 G.3); the interval is of the true value, not of the next reading.
    fn estimate(&self, seat: Seat) -> Option<Estimate> {
        let (value, doubt) = (self.value(seat)?, self.doubt(seat)?);
        let reach = t_two_sided_factor(Risk::ONE_IN_20, doubt.dof) * doubt.u;
        Some(Estimate {
            value,
            u: doubt.u,
            dof: doubt.dof.value(),
            low: value as f64 - reach,
            high: value as f64 + reach,
            from_line: doubt.from_line,
        })
    }
}
