//! What arrangements keep beside their bundles, and what of it an open node leaves.

use super::field::Serving;
use super::prices::Beyond;
use crate::measure::of_values;
use crate::{Bundles, Measure, Pile, Sense, SeveralFault, Slot, Worth};

/// A limit over all slots together.
#[derive(Clone, Copy, Debug)]
pub struct SeveralLimit<'w> {
    /// The values it is about; those of the measure that is to be best where it is `None`. A bundle without a value must not
    /// be there.
    pub worth: Option<Worth<'w>>,
    /// What they keep.
    pub rule: SeveralRule<'w>,
}

/// What the values of all slots keep.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SeveralRule<'w> {
    /// Their measure is no worse than this. Of a spread, of squares and of the worst deviation only the least is a limit, of
    /// the greatest value that it is least, of the least that it is most.
    NoWorse {
        /// The measure.
        measure: Measure,
        /// Which way is better.
        sense: Sense,
        /// The value that is good enough.
        than: i128,
    },
    /// The values of any two of these slots differ by so much at most.
    Apart {
        /// Slots, two by two.
        pairs: &'w [(Slot, Slot)],
        /// In ticks.
        ticks: i64,
    },
}

impl SeveralRule<'_> {
    /// Whether the rule is one that can be kept: its sense is that of its measure, and its slots are there.
    pub fn is_sound(&self, slots: usize) -> bool {
        match *self {
            Self::NoWorse { measure: Measure::Total, .. } => true,
            Self::NoWorse { measure: Measure::Least, sense, .. } => sense == Sense::Most,
            Self::NoWorse { sense, .. } => sense == Sense::Least,
            Self::Apart { pairs, .. } => pairs.iter().all(|(one, other)| one.index().max(other.index()) < slots),
        }
    }

    /// Whether these values, one a slot, keep the rule; `None` if squares leave the range of exact arithmetic.
    pub fn holds(&self, values: &[i128]) -> Option<bool> {
        match *self {
            Self::NoWorse { measure, sense, than } => {
                let worth = of_values(measure, values).ok()?;
                Some(if sense == Sense::Least { worth <= than } else { worth >= than })
            }
            Self::Apart { pairs, ticks } => {
                let value = |slot: Slot| values.get(slot.index()).copied();
                let holds = |&(one, other)| Some((value(one)? - value(other)?).abs() <= i128::from(ticks));
                Some(pairs.iter().all(|pair| holds(pair) == Some(true)))
            }
        }
    }
}

/// The first limit that bundles break, which keep all other rules.
pub(super) fn broken(
    worth: &Worth<'_>,
    limits: &[SeveralLimit<'_>],
    Bundles(bundles): &Bundles,
) -> Result<(), SeveralFault> {
    for (at, limit) in limits.iter().enumerate() {
        let own = limit.worth.as_ref().unwrap_or(worth);
        let value = |(slot, items): (Slot, &Vec<_>)| own.value(slot, items).map(i128::from);
        let values: Option<Vec<i128>> = (0..).map(Slot::new).zip(bundles).map(value).collect();
        let values = values.ok_or(SeveralFault::Limit { limit: at })?;
        if !limit.rule.holds(&values).ok_or(SeveralFault::Overflow)? {
            return Err(SeveralFault::Limit { limit: at });
        }
    }
    Ok(())
}

/// A limit with the value of every serving.
#[derive(Debug)]
pub(super) struct Beside {
    values: Vec<i128>,
    kind: Kind,
}

#[derive(Debug)]
enum Kind {
    /// Every serving keeps it by itself.
    Each,
    Spread(i128),
    Apart(Vec<(usize, usize)>, i128),
    /// What a serving costs is its value here.
    Costs(i128),
    /// n·Σ v² − (Σ v)².
    Squares(i128),
}

impl Beside {
    /// The limits over the servings; drops those that break one by themselves or have no value. `None` where numbers leave
    /// the range of exact arithmetic.
    pub(super) fn of_all(pile: Pile, limits: &[SeveralLimit<'_>], servings: &mut Vec<Serving>) -> Option<Vec<Self>> {
        let mut all: Vec<(Vec<Option<i128>>, Kind)> = Vec::new();
        let mut out = vec![false; servings.len()];
        for limit in limits {
            if !limit.rule.is_sound(pile.slots) {
                return None;
            }
            let mut values: Vec<Option<i128>> = servings.iter().map(|own| value(limit, own)).collect();
            let kind = match limit.rule {
                SeveralRule::Apart { pairs, ticks } => {
                    let pairs = pairs.iter().map(|(one, other)| (one.index(), other.index())).collect();
                    Kind::Apart(pairs, ticks.into())
                }
                SeveralRule::NoWorse { measure, sense, than } => kind(measure, sense, than, &mut values)?,
            };
            out.iter_mut().zip(&values).for_each(|(out, value)| *out |= value.is_none());
            all.push((values, kind));
        }
        let mut kept = out.iter().map(|out| !out);
        servings.retain(|_| kept.next().unwrap_or(false));
        let of_kept = |(values, kind): (Vec<Option<i128>>, Kind)| {
            let values = values.into_iter().zip(&out).filter(|(_, out)| !**out).map(|(value, _)| value);
            Some(Self { values: values.collect::<Option<_>>()?, kind })
        };
        all.into_iter().map(of_kept).collect()
    }

    /// Leaves the servings that are wanted.
    pub(super) fn retain(&mut self, wanted: &[bool]) {
        let mut wanted = wanted.iter().copied();
        self.values.retain(|_| wanted.next().unwrap_or(false));
    }

    /// Drops open servings that break the limit whatever the other slots take; each slot has some. False if nothing is left
    /// that keeps it.
    pub(super) fn sieve(
        &self,
        slot_of: impl Fn(usize) -> usize,
        slots: usize,
        open: &mut Vec<usize>,
    ) -> Result<bool, Beyond> {
        let mut ends = vec![[i128::MAX, i128::MIN]; slots];
        for &serving in open.iter() {
            let (value, [low, high]) = (self.values[serving], &mut ends[slot_of(serving)]);
            (*low, *high) = (value.min(*low), value.max(*high));
        }
        match &self.kind {
            Kind::Each => {}
            Kind::Spread(width) => keep_together(&self.values, &ends, *width, open),
            Kind::Apart(pairs, most) => self.keep_apart(&slot_of, pairs, *most, &ends, open),
            Kind::Costs(most) => {
                let least = ends.iter().try_fold(0_i128, |sum, [low, _]| sum.checked_add(*low)).ok_or(Beyond)?;
                let spare = most.checked_sub(least).ok_or(Beyond)?;
                if spare < 0 {
                    return Ok(false);
                }
                open.retain(|&serving| self.values[serving] - ends[slot_of(serving)][0] <= spare);
            }
            Kind::Squares(most) => {
                let count = i128::try_from(slots).map_err(|_| Beyond)?;
                let width = most.checked_mul(2).ok_or(Beyond)?.max(-1);
                let width = if width < 0 { -1 } else { (width / count.max(1)).isqrt() };
                keep_together(&self.values, &ends, width, open);
                return self.keep_near(&slot_of, count, *most, &ends, open);
            }
        }
        Ok(true)
    }

    /// Values of neighbours within reach of each other.
    fn keep_apart(
        &self,
        slot_of: &impl Fn(usize) -> usize,
        pairs: &[(usize, usize)],
        most: i128,
        ends: &[[i128; 2]],
        open: &mut Vec<usize>,
    ) {
        let mut windows = vec![[i128::MIN, i128::MAX]; ends.len()];
        for &(one, other) in pairs {
            for (slot, beside) in [(one, other), (other, one)] {
                let [low, high] = ends[beside];
                let [from, to] = &mut windows[slot];
                (*from, *to) = ((*from).max(low.saturating_sub(most)), (*to).min(high.saturating_add(most)));
            }
        }
        open.retain(|&serving| {
            let [from, to] = windows[slot_of(serving)];
            (from..=to).contains(&self.values[serving])
        });
    }

    /// Squares of the slots that have one serving left, and with any one of the others.
    fn keep_near(
        &self,
        slot_of: &impl Fn(usize) -> usize,
        count: i128,
        most: i128,
        ends: &[[i128; 2]],
        open: &mut Vec<usize>,
    ) -> Result<bool, Beyond> {
        // Values are counted from one of them, so that squares stay small.
        let settled: Vec<i128> = ends.iter().filter(|[low, high]| low == high).map(|[low, _]| *low).collect();
        let Some(&from) = settled.first() else { return Ok(true) };
        let mut sums = [0_i128; 3];
        for value in &settled {
            sums = with(sums, value - from).ok_or(Beyond)?;
        }
        if !is_near(sums, count, most).ok_or(Beyond)? {
            return Ok(false);
        }
        let mut beyond = false;
        open.retain(|&serving| {
            let [low, high] = ends[slot_of(serving)];
            if low == high {
                return true;
            }
            let near = with(sums, self.values[serving] - from).and_then(|sums| is_near(sums, count, most));
            beyond |= near.is_none();
            near != Some(false)
        });
        if beyond { Err(Beyond) } else { Ok(true) }
    }
}

/// All values within `width` of each other: the greatest is no less than the least value of any slot, and so on.
fn keep_together(values: &[i128], ends: &[[i128; 2]], width: i128, open: &mut Vec<usize>) {
    let greatest = ends.iter().map(|[low, _]| *low).max().unwrap_or(0);
    let smallest = ends.iter().map(|[_, high]| *high).min().unwrap_or(0);
    let within = greatest.saturating_sub(width)..=smallest.saturating_add(width);
    open.retain(|&serving| within.contains(&values[serving]));
}

/// How many values, their sum and their squares, with one more.
fn with([count, sum, squares]: [i128; 3], value: i128) -> Option<[i128; 3]> {
    Some([count + 1, sum.checked_add(value)?, squares.checked_add(value.checked_mul(value)?)?])
}

/// Whether k of n values leave n·Σ v² − (Σ v)² at most `most`: n·(k·Σv² − (Σv)²) ≤ k·most over the k.
fn is_near([chosen, sum, squares]: [i128; 3], count: i128, most: i128) -> Option<bool> {
    let own = chosen.checked_mul(squares)?.checked_sub(sum.checked_mul(sum)?)?.checked_mul(count)?;
    Some(own <= most.checked_mul(chosen)?)
}

fn value(limit: &SeveralLimit<'_>, serving: &Serving) -> Option<i128> {
    match &limit.worth {
        None => Some(serving.value.into()),
        Some(worth) => {
            let items: Vec<_> = serving.items.iter().map(|&item| super::field::item(item)).collect();
            worth.value(super::field::slot(serving.slot), &items).map(i128::from)
        }
    }
}

/// How a measure is kept, and what values cost by it; those that break it by themselves are left without one.
fn kind(measure: Measure, sense: Sense, than: i128, values: &mut [Option<i128>]) -> Option<Kind> {
    let mut keep = |score: &dyn Fn(i128) -> i128, most: i128| {
        for value in values.iter_mut() {
            *value = value.filter(|&value| score(value) <= most);
        }
        Kind::Each
    };
    Some(match measure {
        Measure::Greatest => keep(&|value| value, than),
        Measure::Least => keep(&|value| -value, than.checked_neg()?),
        Measure::WorstFrom { target } => keep(&|value| (value - i128::from(target)).abs(), than),
        Measure::Spread => Kind::Spread(than),
        Measure::SquaresAboutMean => Kind::Squares(than),
        Measure::Total => {
            let sign = if sense == Sense::Least { 1 } else { -1 };
            values.iter_mut().flatten().for_each(|value| *value *= sign);
            Kind::Costs(than.checked_mul(sign)?)
        }
        Measure::SquaresFrom { target } => {
            for value in values.iter_mut().flatten() {
                let away = *value - i128::from(target);
                *value = away.checked_mul(away)?;
            }
            Kind::Costs(than)
        }
    })
}
