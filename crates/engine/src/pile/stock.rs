//! The pile as it is, and how its futures are drawn.

use super::found::Found;
use super::population::Population;
use super::solve::{Choice, best};
use super::{Fitting, Numbers, PileError, Sought, Worth};

/// Futures that are drawn, and from which seed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Drawing {
    /// The seed; the same one gives the same answer.
    pub seed: u64,
    /// How many futures, 40 or more.
    pub futures: usize,
}

impl Drawing {
    /// Fewer futures do not bound 95 %.
    pub const FEWEST: usize = 40;
    /// Enough for an expectation within a twentieth of the scatter of single futures.
    pub const USUAL: usize = 400;

    /// The usual number of futures from this seed.
    pub const fn of_seed(seed: u64) -> Self {
        Self { seed, futures: Self::USUAL }
    }
}

/// A stock of measured parts, where they go and what is sought of them.
///
/// # Examples
/// ```
/// use pairwright_engine::pile::{Drawing, How, Line, Numbers, Pile, Sought};
///
/// // Four valves, ten rockers of 1e-6 ratio a tick, the greatest total of ratios.
/// let rockers = [1.496, 1.503, 1.498, 1.501, 1.499, 1.500, 1.502, 1.497, 1.505, 1.500];
/// let parts = Numbers::single(rockers.map(|ratio| ratio * 1e6).to_vec());
/// let pile = Pile::new(Line::adding([0.0; 4]), parts, Sought::HIGHEST)?;
/// let outlook = pile.outlook(&[10, 50], Drawing::of_seed(1))?;
///
/// assert_eq!(outlook.now, Some(6_011_000.0));
/// let [ten, fifty] = &outlook.steps[..] else { panic!("two were asked for") };
/// assert!(fifty.gain.unwrap().value > ten.gain.unwrap().value);
/// assert_eq!(fifty.how, How::Integrated);
/// # Ok::<(), pairwright_engine::pile::PileError>(())
/// ```
#[derive(Clone, Debug)]
pub struct Pile<F> {
    pub(super) fit: F,
    pub(super) parts: Numbers,
    pub(super) sought: Sought,
    pub(super) population: Population,
    pub(super) now: Found,
}

impl<F: Fitting> Pile<F> {
    /// A pile of parts, each by its measured numbers in the units that `fit` takes; all of them can be used, and further ones are like them.
    ///
    /// # Errors
    /// [`PileError`] without positions, for a stock that says nothing of further parts ([`Population::of`]), and for more or larger values
    /// than the solver takes.
    pub fn new(fit: F, parts: Numbers, sought: Sought) -> Result<Self, PileError> {
        let population = Population::of(&parts)?;
        Self::among(fit, parts, population, sought)
    }

    /// The same where other parts than those to choose from say what further ones are like: parts that were measured and are already
    /// in use still do.
    ///
    /// # Errors
    /// [`PileError`] without positions, for a value that is no number, and for more or larger values than the solver takes.
    pub fn among(fit: F, parts: Numbers, population: Population, sought: Sought) -> Result<Self, PileError> {
        if fit.positions() == 0 {
            return Err(PileError::NoPositions);
        }
        if let Some((part, value)) = parts.broken() {
            return Err(PileError::NoNumber { part, value });
        }
        let now = best(&fit, Choice { stock: &parts, further: &Numbers::default() }, sought)?;
        Ok(Self { fit, parts, sought, population, now })
    }

    /// The best value of what is sought with the parts there are, in ticks; `None` where they do not fill the positions.
    pub fn now(&self) -> Option<f64> {
        self.now.aim()
    }

    /// The same with all that counts before the aim.
    pub fn worth(&self) -> Option<&Worth> {
        self.now.worth.as_ref()
    }

    /// What counts first: the least of a total where one counts before the aim.
    pub fn leading(&self) -> Sought {
        if self.fit.before() > 0 { Sought::LOWEST } else { self.sought }
    }

    /// The fit, as a function of a part's numbers.
    pub fn fit(&self) -> &F {
        &self.fit
    }

    /// The parts to choose from.
    pub fn parts(&self) -> &Numbers {
        &self.parts
    }

    /// What further parts are taken to be like.
    pub fn population(&self) -> &Population {
        &self.population
    }
}
