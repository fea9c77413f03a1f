//! How far single values can move while a best choice stays best.
//!
//! One value x of one pair p moves, the others stay. What the best choice without p is worth, A, does not depend on x;
//! of the choices with p only the rest counts, all slots but one and all items but one.
//! - *Total*: the rest of the cheapest choice with p is the same for every x, so a chosen p can get dearer by the price
//!   of forbidding it and another one cheaper by the price of forcing it.
//! - *Worst key*: with R the least worst key of a rest, a choice with p is worth max(x, R). So a chosen p can rise to A,
//!   and sink until some other rest is better than this choice's own; another p can sink to the best value unless R is at
//!   least that.
//! - *Spread*: the rests that matter are those of which no other lies inside, at most one for every smallest value;
//!   a sweep of two ends lists them all. Over x every one of them and the choice itself are straight lines in pieces,
//!   whose first crossing ends the stretch.
//!
//! The rests are listed by the two moving ends of S. Martello, W. R. Pulleyblank, P. Toth and D. de Werra, *Balanced
//! optimization problems*, Oper. Res. Lett. 3 (1984): O(P·log P) for P pairs and an augmenting path for each matched pair
//! that leaves; at most one rest for each value.

mod pieces;

use crate::best::{Key, Method, over_pairs};
use crate::grid::{Bits, Grid};
use crate::problem::Problem;
use crate::region::Region;
use crate::sensitivity::Sensitivity;
use crate::spread::{self, Pair, Pairs};
use crate::watch::Watch;
use crate::worst;
use pairwright_proof::{Choice, Criterion, Item, Measure, Slot};
use pieces::{Rest, first_worse};

/// The values that one pair can take, all others unchanged, while a choice stays best: the stretch around the present one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// The smallest; `None` if there is no end.
    pub low: Option<i128>,
    /// The largest; `None` if there is no end.
    pub high: Option<i128>,
}

/// Why there are no stretches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum StretchError {
    /// There is no criterion.
    #[error("there is no criterion")]
    NoCriterion,
    /// The first criterion is neither a total, nor a least worst value, nor a least spread.
    #[error("there is no stretch for the measure {measure:?} in that sense")]
    Measure {
        /// Its measure.
        measure: Measure,
    },
    /// The problem has windows.
    #[error("there are windows")]
    Windows,
    /// The choice breaks a rule, or another one is better by the first criterion.
    #[error("the choice is not a best one")]
    NotBest,
}

/// How far values can move; made by [`stretches`].
#[derive(Debug)]
pub struct Stretches<'t> {
    criterion: Criterion<'t>,
    grid: Grid,
    must: Bits,
    choice: Choice,
    best: i128,
    prices: Option<Sensitivity<'t>>,
}

/// How far each value of the first criterion's table can move, alone, with `choice` still among the best by that
/// criterion.
///
/// For a total in either sense, greatest and worst values to be least, least values to be most and least spread. Values
/// of other criteria do not move, even where they stand in the same table. For totals everything is found here in
/// O(slots³ + pairs), as in [`sensitivity`](crate::sensitivity()); for the others each pair costs up to two solves of the
/// first criterion.
///
/// # Errors
/// [`StretchError`] if the first criterion is none of those, the problem has windows, or `choice` is not best by it.
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
    if !problem.windows().is_empty() {
        return Err(StretchError::Windows);
    }
    let method = Method::of(&criterion);
    let is_known = matches!(method, Method::Worst(_) | Method::Spread) || criterion.measure == Measure::Total;
    if !is_known {
        return Err(StretchError::Measure { measure: criterion.measure });
    }
    let whole = Region::whole(problem);
    let best = over_pairs(&criterion, &whole.grid, &whole.must).ok_or(StretchError::NotBest)?.score;
    let is_kept = choice.items().len() == problem.shape().slots
        && choice.pairs().all(|(slot, item)| item.index() < problem.shape().items && whole.grid.has(slot, item))
        && whole.must.iter().all(|item| choice.items().contains(&Item::new(item)))
        && !is_twice(choice);
    if !is_kept || crate::best::score(&criterion, choice.items()) != Some(best) {
        return Err(StretchError::NotBest);
    }
    let prices = match method {
        Method::Sum(cost) => Some(Sensitivity::of(cost, whole.clone()).ok_or(StretchError::NotBest)?),
        _ => None,
    };
    let Region { grid, must, .. } = whole;
    Ok(Stretches { criterion, grid, must, choice: choice.clone(), best, prices })
}

fn is_twice(choice: &Choice) -> bool {
    let mut items = choice.items().to_vec();
    items.sort_unstable();
    items.windows(2).any(|two| two[0] == two[1])
}

impl Stretches<'_> {
    /// The values that this pair can take; `None` if the pair is forbidden, or there is no such slot or item.
    pub fn of(&self, slot: Slot, item: Item) -> Option<Stretch> {
        let is_there = slot.index() < self.grid.slot_count() && item.index() < self.grid.item_count();
        if !is_there || !self.grid.has(slot, item) {
            return None;
        }
        let value = self.criterion.table.get(slot, item)?;
        let is_chosen = self.choice.item(slot) == Some(item);
        Some(match Method::of(&self.criterion) {
            Method::Worst(key) => self.by_key(key, slot, item, value, is_chosen),
            Method::Spread => self.by_spread(slot, item, value, is_chosen),
            _ => self.by_price(slot, item, value, is_chosen),
        })
    }

    fn by_price(&self, slot: Slot, item: Item, value: i64, is_chosen: bool) -> Stretch {
        let value = i128::from(value);
        let room = self
            .prices
            .as_ref()
            .and_then(|prices| if is_chosen { prices.forbidding(slot, item) } else { prices.forcing(slot, item) });
        // A chosen pair may get dearer, another one cheaper.
        let is_up = is_chosen == (self.criterion.sense == pairwright_proof::Sense::Least);
        if is_up {
            Stretch { low: None, high: room.map(|room| value + room) }
        } else {
            Stretch { low: room.map(|room| value - room), high: None }
        }
    }

    /// What the best choice without the pair is worth.
    fn without(&self, slot: Slot, item: Item) -> Option<i128> {
        let mut grid = self.grid.clone();
        grid.clear(slot, item);
        over_pairs(&self.criterion, &grid, &self.must).map(|best| best.score)
    }

    fn by_key(&self, key: Key, slot: Slot, item: Item, value: i64, is_chosen: bool) -> Stretch {
        let table = self.criterion.table;
        let mut forced = self.grid.clone();
        forced.force(slot, item);
        // The pair itself counts for nothing.
        let of_rest = |at: Slot, other: Item| if at == slot { i64::MIN } else { key.of(table.row(at)[other.index()]) };
        let rest = worst::least(&forced, &self.must, of_rest, None, &Watch::unlimited()).map(|held| held.key);
        let (low, high) = if is_chosen {
            let others = self.choice.pairs().filter(|&(at, _)| at != slot);
            let own = others.map(|(at, other)| key.of(table.row(at)[other.index()])).max();
            let is_best = own.is_none_or(|own| rest.is_some_and(|rest| rest >= own));
            (own.filter(|_| !is_best).map(i128::from), self.without(slot, item))
        } else {
            (rest.is_some_and(|rest| i128::from(rest) < self.best).then_some(self.best), None)
        };
        match key {
            Key::Value => Stretch { low, high },
            Key::Negative => Stretch { low: high.map(|high| -high), high: low.map(|low| -low) },
            Key::Away(target) => around(target.into(), value >= target, low, high),
        }
    }

    fn by_spread(&self, slot: Slot, item: Item, value: i64, is_chosen: bool) -> Stretch {
        if self.grid.slot_count() == 1 {
            return Stretch { low: None, high: None };
        }
        let rests = self.rests(slot, item);
        let own = is_chosen.then(|| {
            let others = self.choice.pairs().filter(|&(at, _)| at != slot);
            let values: Vec<i64> = others.map(|(at, other)| self.criterion.table.row(at)[other.index()]).collect();
            let (low, high) = (values.iter().min().copied(), values.iter().max().copied());
            Rest { low: low.unwrap_or(value).into(), high: high.unwrap_or(value).into() }
        });
        let without = if is_chosen { self.without(slot, item) } else { None };
        let value = i128::from(value);
        let up = first_worse(value, own, self.best, without, &rests);
        // The same seen from the other side.
        let turned: Vec<Rest> = rests.iter().map(Rest::turned).collect();
        let down = first_worse(-value, own.as_ref().map(Rest::turned), self.best, without, &turned);
        Stretch { low: down.map(|down| -(down - 1)), high: up.map(|up| up - 1) }
    }

    /// Smallest and largest value of what serves the other slots with the other items, each with no other one inside it.
    fn rests(&self, slot: Slot, item: Item) -> Vec<Rest> {
        let mut pairs = Vec::new();
        let others = self.grid.slots().filter(|&at| at != slot);
        for (place, at) in (0..).map(Slot::new).zip(others) {
            let row = self.criterion.table.row(at);
            let items = self.grid.items_of(at).filter(|&other| other != item);
            pairs.extend(items.map(|other| Pair { value: row[other.index()], slot: place, item: other }));
        }
        let slots = u32::try_from(self.grid.slot_count() - 1).expect("a table has at most 2^20 slots");
        let mut must = self.must.clone();
        must.clear(item.index());
        let rests = spread::narrow_windows(Pairs { slots, items: self.grid.item_count(), all: pairs }, &must);
        rests.into_iter().map(|(low, high)| Rest { low: low.into(), high: high.into() }).collect()
    }
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
