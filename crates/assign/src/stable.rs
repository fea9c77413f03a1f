//! How far single values can move while a best choice stays best.
//!
//! One value x of one pair p moves, the others stay. What the best choice without p is worth, A, does not depend on x;
//! of the choices with p only the rest counts, all slots but one and all items but one.
//! - *Total, squares from a target*: the rest of the cheapest choice with p is the same for every x, so a chosen p can get
//!   dearer by the price of forbidding it and another one cheaper by the price of forcing it.
//! - *Worst key*: with R the least worst key of a rest, a choice with p is worth max(x, R). So a chosen p can rise to A,
//!   and sink until some other rest is better than this choice's own; another p can sink to the best value unless R is at
//!   least that. The same with greatest keys that are to be great (`keys.rs`).
//! - *Spread*: the rests that matter are those of which no other lies inside, at most one for every smallest value;
//!   a sweep of two ends lists them all (`spreads.rs`). Over x every one of them and the choice itself are straight lines
//!   in pieces, whose first crossing ends the stretch (`pieces.rs`).
//! - *Squares about the mean*: the rests that matter are the corners of a parametric assignment; over x every one of them
//!   and the choice itself are parabolas of one width (`squares.rs`).
//!
//! Under windows every one of these questions is asked of the regions that the windows leave (`divide.rs`).

mod field;
mod keys;
mod pieces;
mod spreads;
mod squares;

use crate::best::Method;
use crate::problem::Problem;
use crate::sensitivity::Sensitivity;
use field::{Asked, Field};
use pairwright_proof::{Choice, Item, Measure, Sense, Slot, Table};

/// The values that one pair can take, all others unchanged, while a choice stays best: the stretch around the present one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// The smallest; `None` if all values down to the smallest one that a table can hold.
    pub low: Option<i128>,
    /// The largest; `None` if all values up to the largest one that a table can hold.
    pub high: Option<i128>,
}

/// Why there are no stretches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum StretchError {
    /// There is no criterion.
    #[error("there is no criterion")]
    NoCriterion,
    /// The first criterion is a spread or squares about the mean that are to be most.
    #[error("there is no stretch for the measure {measure:?} in that sense")]
    Measure {
        /// Its measure.
        measure: Measure,
    },
    /// The choice breaks a rule, or another one is better by the first criterion.
    #[error("the choice is not a best one")]
    NotBest,
}

/// How far values can move; made by [`stretches`].
#[derive(Debug)]
pub struct Stretches<'t> {
    field: Field<'t>,
    /// Where there are no windows: the prices of a sum.
    prices: Option<Sensitivity<'t>>,
}

/// How far each value of the first criterion's table can move, alone, with `choice` still among the best by that
/// criterion, slack or not.
///
/// For every criterion that is solved exactly: totals and squares from a target in either sense, squares about the mean
/// and spreads to be least, and greatest, least and worst values in either sense. Values of other criteria and of windows
/// do not move, even where they stand in the same table, and nothing is said about criteria after the first.
///
/// For sums without windows everything is found here in O(slots³ + pairs), as in [`sensitivity`](crate::sensitivity());
/// for sums under windows and for keys each pair costs up to two solves of the first criterion, for spreads one more sweep
/// (Martello, Pulleyblank, Toth & de Werra 1984), for squares about the mean an assignment for every corner of a
/// parametric one (Eisner & Severance 1976). Under windows each of these is asked once for every region that the bound
/// does not settle, as when solving.
///
/// # Errors
/// [`StretchError`] if the first criterion is none of those, or `choice` is not best by it.
///
/// # Examples
/// ```
/// use pairwright_assign::{
///     Choice, Criterion, Item, Measure, Problem, Sense, Shape, Slot, Stretch, Table, stretches,
/// };
///
/// let table = Table::from_cells(Shape { slots: 2, items: 2 }, &[Some(3), Some(1), Some(2), Some(9)])?;
/// let even = Criterion { table: &table, measure: Measure::Spread, sense: Sense::Least, slack: 0 };
/// let choice = Choice::new([1, 0].map(Item::new).to_vec());
/// let stretches = stretches(&Problem::new(vec![even], vec![])?, &choice)?;
///
/// // The other choice, 3 and 9, is 6 apart.
/// let of = |slot, item| stretches.of(Slot::new(slot), Item::new(item));
/// assert_eq!(of(0, 1), Some(Stretch { low: Some(-4), high: Some(8) }));
/// // Beside 3 it may come down to 4, as near as 2 is to 1.
/// assert_eq!(of(1, 1), Some(Stretch { low: Some(4), high: None }));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn stretches<'t>(problem: &Problem<'t>, choice: &Choice) -> Result<Stretches<'t>, StretchError> {
    let criterion = *problem.criteria().first().ok_or(StretchError::NoCriterion)?;
    let method = Method::of(&criterion);
    let is_far = matches!(method, Method::Far);
    if is_far && matches!(criterion.measure, Measure::Spread | Measure::SquaresAboutMean) {
        return Err(StretchError::Measure { measure: criterion.measure });
    }
    let field = Field::new(problem, criterion, choice).ok_or(StretchError::NotBest)?;
    let prices = match method {
        Method::Sum(cost) if problem.windows().is_empty() => Sensitivity::of(cost, field.whole.clone()),
        _ => None,
    };
    Ok(Stretches { field, prices })
}

impl Stretches<'_> {
    /// The values that this pair can take; `None` if the pair is forbidden, or there is no such slot or item.
    pub fn of(&self, slot: Slot, item: Item) -> Option<Stretch> {
        let asked = self.field.ask(slot, item)?;
        let Stretch { low, high } = match Method::of(&self.field.criterion) {
            Method::Worst(key) => self.field.by_worst_key(key, asked),
            Method::Spread => self.field.by_spread(asked),
            Method::AboutMean => self.field.by_squares(asked),
            Method::Sum(_) => self.by_price(asked),
            Method::Far => self.field.by_great_key(asked),
        };
        let limit = i128::from(Table::LIMIT);
        Some(Stretch { low: low.filter(|&low| low > -limit), high: high.filter(|&high| high < limit) })
    }

    fn by_price(&self, asked: Asked) -> Stretch {
        let Asked { slot, item, value, is_chosen } = asked;
        let field = &self.field;
        let room = match &self.prices {
            Some(prices) => prices.room(slot, item),
            None if is_chosen => field.without(asked).map(|without| without - field.best),
            None => field.with(asked).map(|with| with - field.best),
        };
        // A chosen pair may get dearer, another one cheaper.
        let is_up = is_chosen == (field.criterion.sense == Sense::Least);
        let value = i128::from(value);
        let Measure::SquaresFrom { target } = field.criterion.measure else {
            return if is_up {
                Stretch { low: None, high: room.map(|room| value + room) }
            } else {
                Stretch { low: room.map(|room| value - room), high: None }
            };
        };
        let target = i128::from(target);
        let square = (value - target).pow(2);
        let (least, most) = if is_up {
            (None, room.map(|room| (square + room).isqrt()))
        } else {
            (room.map(|room| root_above(square - room)), None)
        };
        around(target, value >= target, least, most)
    }
}

/// The smallest number whose square is at least this.
fn root_above(square: i128) -> i128 {
    if square <= 0 { 0 } else { (square - 1).isqrt() + 1 }
}

/// The values whose distance from a target lies between two, on the side of the present one.
fn around(target: i128, is_above: bool, least: Option<i128>, most: Option<i128>) -> Stretch {
    let least = least.filter(|&least| least > 0);
    let far = |side: i128| most.map(|most| target + side * most);
    match (least, is_above) {
        (None, _) => Stretch { low: far(-1), high: far(1) },
        (Some(least), true) => Stretch { low: Some(target + least), high: far(1) },
        (Some(least), false) => Stretch { low: far(-1), high: Some(target - least) },
    }
}
