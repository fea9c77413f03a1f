//! Checking a proof: every step is looked up in the tables, nothing is solved.

mod everywhere;
mod region;
mod sums;

use crate::proof::{Level, Narrow, Prices, Proof, Refutation, WindowRun};
use crate::{Choice, Criterion, Fault, Item, Measure, Sense, Slot, Statement, Table, check_choice, evaluate};
pub(crate) use region::{Region, ascending};
use std::cell::LazyCell;

/// What was found true.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Checked {
    /// So many levels, from the first on, are proven: no choice is better by the chain up to there.
    pub levels: usize,
    /// The number of levels of the chain.
    pub of: usize,
}

/// What is wrong with a reason.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Flaw {
    /// Slots, items or stretches do not ascend, or are not there.
    #[error("a list does not ascend, or names what is not there")]
    Order,
    /// The competing side is not larger than the other.
    #[error("{named} compete for {found}, which are not fewer")]
    NotFewer {
        /// How many compete.
        named: usize,
        /// How many they compete for.
        found: usize,
    },
    /// A pair leads out of the two sets.
    #[error("slot {slot} may take item {item}")]
    Leak {
        /// The slot of the pair.
        slot: Slot,
        /// The item of the pair.
        item: Item,
    },
    /// An item named as one that must be used need not be.
    #[error("item {item} need not be used")]
    Free {
        /// The item.
        item: Item,
    },
    /// Not one price for every slot.
    #[error("{found} prices do not price {expected} slots")]
    Prices {
        /// Number of slots.
        expected: usize,
        /// Number of prices.
        found: usize,
    },
    /// A pair costs less than its prices.
    #[error("slot {slot} and item {item} cost less than their prices")]
    Dear {
        /// The slot of the pair.
        slot: Slot,
        /// The item of the pair.
        item: Item,
    },
    /// An item that need not be used has a price above 0.
    #[error("item {item} has a price above 0 and need not be used")]
    Reward {
        /// The item.
        item: Item,
    },
    /// A bound is not above the limit, and nothing follows.
    #[error("the bound {bound} is not above the limit {limit}")]
    Low {
        /// What the prices come to.
        bound: i128,
        /// What they had to be above.
        limit: i128,
    },
    /// Stretches leave something out.
    #[error("the stretches leave something out")]
    Gap,
    /// The reason does not go with the measure it speaks of.
    #[error("the reason does not go with its level")]
    Kind,
    /// Too many steps inside each other.
    #[error("more than {most} steps stand inside each other")]
    Deep {
        /// The most that are followed.
        most: usize,
    },
    /// Numbers leave the range of exact arithmetic.
    #[error("numbers leave the range of exact arithmetic")]
    Overflow,
}

/// Steps inside each other that are followed.
pub(crate) const DEEPEST: usize = 40;

/// Whether a choice keeps every rule, is worth the `values`, and is as good as the proof says.
///
/// Solves nothing: O(pairs · log pairs) for each level, plus the pairs inside every step of the proof. Prices that bound a
/// total or squares from a target by themselves take one pass over the table, of which nothing is copied.
///
/// # Errors
/// The first [`Fault`] found.
pub fn check_proof(
    statement: &Statement<'_>,
    choice: &Choice,
    values: &[i128],
    proof: &Proof,
) -> Result<Checked, Fault> {
    check_choice(statement, choice, values)?;
    let of = statement.criteria.len();
    if proof.levels.len() > of {
        return Err(Fault::Levels { expected: of, found: proof.levels.len() });
    }
    let whole = LazyCell::new(|| Region::whole(statement));
    let mut limits = Vec::new();
    for (place, (level, criterion)) in proof.levels.iter().zip(statement.criteria).enumerate() {
        let best = score(criterion.sense, level.best);
        let goal = best.checked_sub(1).ok_or(Fault::Overflow)?;
        let mut to_beat = limits.clone();
        to_beat.push(goal);
        let case = Case { statement, limits: &to_beat };
        if !case.holds_everywhere(&level.reason) {
            case.refute_whole(&whole, &level.reason).map_err(|flaw| Fault::Reason { level: place, flaw })?;
        }
        let limit = best.checked_add(i128::from(criterion.slack)).ok_or(Fault::Overflow)?;
        limits.push(limit);
        if score(criterion.sense, values[place]) > limit {
            return Err(Fault::Best { level: place, best: level.best });
        }
        check_reached(statement, &limits, place, level, values[place])?;
    }
    Ok(Checked { levels: proof.levels.len(), of })
}

/// Whether no choice at all keeps the rules of a statement, its criteria aside.
///
/// # Errors
/// [`Fault::Impossible`] with the first flaw found.
pub fn check_impossible(statement: &Statement<'_>, reason: &Refutation) -> Result<(), Fault> {
    let case = Case { statement, limits: &[] };
    case.refute_whole(&Region::whole(statement), reason).map_err(|flaw| Fault::Impossible { flaw })
}

/// Some choice must have the best value that a level claims: the answer itself, or a witness.
fn check_reached(
    statement: &Statement<'_>,
    limits: &[i128],
    place: usize,
    level: &Level,
    value: i128,
) -> Result<(), Fault> {
    if level.best == value {
        return Ok(());
    }
    let missing = Fault::Best { level: place, best: level.best };
    let witness = level.witness.as_ref().ok_or_else(|| missing.clone())?;
    let worth = |criterion: &Criterion<'_>| evaluate(criterion.measure, criterion.table, witness);
    let values = statement.criteria.iter().map(worth).collect::<Result<Vec<_>, _>>()?;
    check_choice(statement, witness, &values)?;
    let within = statement.criteria.iter().zip(&values).zip(limits);
    let is_within = within.take(place).all(|((criterion, &value), &limit)| score(criterion.sense, value) <= limit);
    if is_within && values[place] == level.best { Ok(()) } else { Err(missing) }
}

/// A value turned so that less is better.
pub(crate) fn score(sense: Sense, value: i128) -> i128 {
    match sense {
        Sense::Least => value,
        Sense::Most => value.saturating_neg(),
    }
}

/// Whether a pair of this value alone takes a choice beyond a limit on the criterion's score.
pub(crate) fn beyond(criterion: &Criterion<'_>, value: i64, limit: i128) -> bool {
    let key = match (criterion.measure, criterion.sense) {
        (Measure::Greatest, Sense::Least) => Some(i128::from(value)),
        (Measure::Least, Sense::Most) => Some(-i128::from(value)),
        (Measure::WorstFrom { target }, Sense::Least) => Some((i128::from(value) - i128::from(target)).abs()),
        _ => None,
    };
    key.is_some_and(|key| key > limit)
}

/// The choices that are to be refuted: within a limit for each of the first levels.
struct Case<'a> {
    statement: &'a Statement<'a>,
    limits: &'a [i128],
}

impl Case<'_> {
    fn refute_whole(&self, whole: &Region, reason: &Refutation) -> Result<(), Flaw> {
        let mut region = whole.clone();
        for (criterion, &limit) in self.statement.criteria.iter().zip(self.limits) {
            region.retain(|slot, item| !beyond(criterion, criterion.table.row(slot)[item.index()], limit));
        }
        self.refute(&region, reason, DEEPEST)
    }

    fn refute(&self, region: &Region, reason: &Refutation, depth: usize) -> Result<(), Flaw> {
        let depth = depth.checked_sub(1).ok_or(Flaw::Deep { most: DEEPEST })?;
        match reason {
            Refutation::Never => self.never(),
            Refutation::Slots { slots, items } => region.check_slots(slots, items),
            Refutation::Items { items, slots } => region.check_items(items, slots),
            Refutation::Prices { level, prices, then } => {
                let cost = self.cost(*level)?;
                let bound = region.check_prices(prices, &cost)?;
                let leftover = self.limits[*level].checked_sub(bound).ok_or(Flaw::Overflow)?;
                self.follow(region, prices, &cost, (bound, *level, leftover), then.as_deref(), depth)
            }
            Refutation::Sums { level, runs } => self.sums(region, *level, runs, depth),
            Refutation::Windows { of, runs } => self.windows(region, *of, runs, depth),
        }
    }

    fn never(&self) -> Result<(), Flaw> {
        let level = self.limits.len().checked_sub(1).ok_or(Flaw::Kind)?;
        let criterion = &self.statement.criteria[level];
        let is_never_below = matches!(
            criterion.measure,
            Measure::Spread | Measure::SquaresAboutMean | Measure::SquaresFrom { .. } | Measure::WorstFrom { .. }
        );
        let (bound, limit) = (0, self.limits[level]);
        match (is_never_below && criterion.sense == Sense::Least, limit < 0) {
            (true, true) => Ok(()),
            (true, false) => Err(Flaw::Low { bound, limit }),
            (false, _) => Err(Flaw::Kind),
        }
    }

    /// What a pair costs by a level that is a sum.
    fn cost(&self, level: usize) -> Result<impl Fn(Slot, Item) -> Option<i128> + '_, Flaw> {
        let criterion = self.statement.criteria.get(level).filter(|_| level < self.limits.len()).ok_or(Flaw::Kind)?;
        let target = match criterion.measure {
            Measure::Total => None,
            Measure::SquaresFrom { target } => Some(i128::from(target)),
            _ => return Err(Flaw::Kind),
        };
        Ok(move |slot: Slot, item: Item| {
            let value = i128::from(criterion.table.row(slot)[item.index()]);
            let cost = match target {
                None => value,
                Some(target) => (value - target).checked_mul(value - target)?,
            };
            Some(score(criterion.sense, cost))
        })
    }

    /// Closes a bound that is above the limit, or goes on with the pairs that cost little enough.
    fn follow(
        &self,
        region: &Region,
        prices: &Prices,
        cost: &dyn Fn(Slot, Item) -> Option<i128>,
        (bound, level, leftover): (i128, usize, i128),
        then: Option<&Refutation>,
        depth: usize,
    ) -> Result<(), Flaw> {
        if leftover < 0 {
            return Ok(());
        }
        let then = then.ok_or(Flaw::Low { bound, limit: self.limits[level] })?;
        self.refute(&region.within(prices, cost, leftover)?, then, depth)
    }

    fn windows(&self, region: &Region, of: Narrow, runs: &[WindowRun], depth: usize) -> Result<(), Flaw> {
        let (table, width) = self.narrow(of)?;
        if width < 0 {
            return Ok(());
        }
        if !ascending(runs.iter().map(|run| run.until)) {
            return Err(Flaw::Order);
        }
        if runs.last().is_none_or(|run| run.until != i64::MAX) {
            return Err(Flaw::Gap);
        }
        let rows = region.by_value(table);
        let mut low = i128::MIN;
        for run in runs {
            let high = i128::from(run.until).saturating_add(width);
            self.refute(&rows.between(low, high, region), &run.reason, depth)?;
            low = i128::from(run.until) + 1;
        }
        Ok(())
    }

    /// A table whose values are limited in spread, and the width.
    fn narrow(&self, of: Narrow) -> Result<(&Table, i128), Flaw> {
        match of {
            Narrow::Level(level) => {
                let criterion = self.statement.criteria.get(level).ok_or(Flaw::Kind)?;
                let limit = self.limits.get(level).ok_or(Flaw::Kind)?;
                let is_spread = criterion.measure == Measure::Spread && criterion.sense == Sense::Least;
                if is_spread { Ok((criterion.table, *limit)) } else { Err(Flaw::Kind) }
            }
            Narrow::Window(window) => {
                let window = self.statement.windows.get(window).ok_or(Flaw::Kind)?;
                Ok((window.table, window.width.into()))
            }
        }
    }
}

#[cfg(test)]
mod tests;
