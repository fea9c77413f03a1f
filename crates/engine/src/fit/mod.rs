//! Fits: what results where a part meets a position, one file a fit.
//!
//! A [`Fit`] answers for any pair: the predicted value in whole ticks, how well it is known, and
//! how the errors of several pairs go together (an error common to all of them cancels in a spread
//! and not in a limit).

mod deck;
mod mass;
mod seat;
mod skirt;

use nalgebra::DMatrix;

pub use deck::DeckFit;
pub use mass::MassFit;
pub use seat::{Cast, Seat};
pub use skirt::SkirtFit;

use crate::job::{FitName, Job};
use crate::plan::{Estimate, Lack};
use crate::reduction::Reductions;
use crate::statistics::{Dof, Risk, t_two_sided_factor};

/// A part in a position, by index.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pair {
    /// Index of the position.
    pub position: usize,
    /// Index of the part in its stock.
    pub part: usize,
}

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

/// A quantity that results where a part meets a position.
pub trait Fit: std::fmt::Debug + Sync {
    /// Which fit.
    fn name(&self) -> FitName;

    /// The predicted value in ticks; `None` where it cannot be predicted.
    fn value(&self, seat: Seat) -> Option<i64>;

    /// How well the value is known; `None` where it cannot be predicted.
    fn doubt(&self, seat: Seat) -> Option<Doubt>;

    /// Joint covariance of the values of `pairs`, in ticks²; all of them can be predicted.
    fn covariance(&self, seats: &[Seat]) -> DMatrix<f64>;

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

/// Every fit of a match, in the order of [`FitName::ALL`]: the fit, or what it lacks.
#[must_use]
pub fn fits<'j>(job: &'j Job, _cast: &Cast, reductions: &'j Reductions) -> Vec<Result<Box<dyn Fit + 'j>, Lack>> {
    let reduction = reductions.deck.as_ref();
    FitName::ALL
        .into_iter()
        .map(|name| -> Result<Box<dyn Fit + 'j>, Lack> {
            Ok(match name {
                FitName::Deck => Box::new(DeckFit::new(reduction)?),
                FitName::Skirt => Box::new(SkirtFit::new(job)?),
                FitName::Mass => Box::new(MassFit::new(job)?),
                FitName::PistonToHead | FitName::ClearanceVolume | FitName::Compression => {
                    return Err(Lack { fit: name, what: "heads and gaskets to place".to_owned() });
                }
            })
        })
        .collect()
}
