//! Limits over all slots together, followed while bundles are chosen and while a proof is made.

use super::field::Bundle;
use super::problem::SeveralError;
use pairwright_proof::{Item, Measure, Sense, SeveralLimit, SeveralRule, Slot, Table};

/// The limits, with the value of every bundle in every slot.
#[derive(Clone, Debug, Default)]
pub(crate) struct Limits {
    /// How many bundles a slot has a place for.
    names: usize,
    all: Vec<Limit>,
}

#[derive(Clone, Debug)]
struct Limit {
    /// By slot, then by the bundle's place in lexicographic order; where it is kept as a sum, what the bundle costs.
    values: Vec<i128>,
    kind: Kind,
}

#[derive(Clone, Debug)]
enum Kind {
    /// Every bundle keeps it by itself.
    Each,
    Spread(i128),
    /// Slots two by two, and how far apart their values may be.
    Apart(Vec<(usize, usize)>, i128),
    Costs(i128),
    /// n·Σ v² − (Σ v)².
    Squares(i128),
}

impl Limits {
    /// The same limits and one more; bundles that break it by themselves go.
    pub(super) fn with(
        mut self,
        at: usize,
        limit: &SeveralLimit<'_>,
        slots: &mut [Vec<Bundle>],
        names: &[Vec<Item>],
    ) -> Result<Self, SeveralError> {
        const LARGEST: u128 = 1 << 100;
        let unsound = || SeveralError::Limit { limit: at };
        let mut values = vec![0; slots.len() * names.len()];
        let kind = Kind::of(limit.rule, slots.len()).ok_or_else(unsound)?;
        if let SeveralRule::NoWorse { than, .. } = limit.rule
            && than.unsigned_abs() > LARGEST
        {
            return Err(unsound());
        }
        for (slot, list) in slots.iter_mut().enumerate() {
            let mut wrong = None;
            list.retain(|bundle| {
                let named = Slot::new(u32::try_from(slot).unwrap_or(u32::MAX));
                let value = match &limit.worth {
                    None => Some(bundle.value),
                    Some(worth) => worth.value(named, &names[bundle.at]),
                };
                let Some(value) = value else { return false };
                if !(-Table::LIMIT..=Table::LIMIT).contains(&value) {
                    wrong = Some(SeveralError::Magnitude { slot: named, value });
                }
                let cost = cost(limit.rule, value.into());
                values[slot * names.len() + bundle.at] = cost;
                !matches!(kind, Kind::Each) || is_within(limit.rule, cost)
            });
            wrong.map_or(Ok(()), Err)?;
        }
        self.names = names.len();
        if !matches!(kind, Kind::Each) {
            self.all.push(Limit { values, kind });
        }
        Ok(self)
    }

    /// What the cheapest bundles of these lists cost, limit by limit and slot by slot; nothing for limits that are no sums.
    pub(super) fn floors(&self, lists: &[&[Bundle]]) -> Vec<Vec<i128>> {
        let floor = |limit: &Limit| match limit.kind {
            Kind::Costs(_) => {
                let least = |(slot, list): (usize, &&[Bundle])| {
                    list.iter().map(|bundle| limit.values[slot * self.names + bundle.at]).min().unwrap_or(0)
                };
                lists.iter().enumerate().map(least).collect()
            }
            _ => Vec::new(),
        };
        self.all.iter().map(floor).collect()
    }

    /// What the bundles chosen so far leave to the other slots.
    pub(super) fn gate<'l>(&'l self, floors: &'l [Vec<i128>], chosen: &[Option<Bundle>]) -> Gate<'l> {
        let open = |(limit, floor): (&Limit, &'l Vec<i128>)| {
            let value = |slot: usize| chosen[slot].map(|bundle| limit.values[slot * self.names + bundle.at]);
            let values = || (0..chosen.len()).filter_map(value);
            match &limit.kind {
                Kind::Each => Open::Anything,
                Kind::Spread(width) => Open::Window(together(values(), *width)),
                Kind::Apart(pairs, most) => {
                    let mut windows = vec![[i128::MIN, i128::MAX]; chosen.len()];
                    for &(one, other) in pairs {
                        for (slot, beside) in [(one, other), (other, one)] {
                            let Some(value) = value(beside) else { continue };
                            let [from, to] = windows[slot];
                            windows[slot] =
                                [from.max(value.saturating_sub(*most)), to.min(value.saturating_add(*most))];
                        }
                    }
                    Open::Windows(windows)
                }
                Kind::Costs(most) => {
                    let spent = (0..chosen.len()).map(|slot| value(slot).unwrap_or(floor[slot])).sum::<i128>();
                    Open::Spare { floor, spare: most - spent }
                }
                Kind::Squares(most) => {
                    let from = values().next();
                    let mut sums = Sums { slots: chosen.len() as i128, most: *most, from, ..Sums::default() };
                    values().for_each(|value| sums.add(value));
                    Open::Near(sums)
                }
            }
        };
        Gate { limits: self, open: self.all.iter().zip(floors).map(open).collect() }
    }

    /// Drops servings as the checker does where a node opens, each a slot with a bundle; false if none can keep the limits.
    pub(super) fn sieve(
        &self,
        (at, slots): (usize, usize),
        serving: impl Fn(u32) -> (usize, usize),
        open: &mut Vec<u32>,
    ) -> bool {
        let limit = &self.all[at];
        let place = |number: u32| {
            let (slot, bundle) = serving(number);
            (slot, limit.values[slot * self.names + bundle])
        };
        let mut ends = vec![[i128::MAX, i128::MIN]; slots];
        for &number in open.iter() {
            let (slot, value) = place(number);
            let [low, high] = ends[slot];
            ends[slot] = [low.min(value), high.max(value)];
        }
        let within = |width: i128| {
            let greatest = ends.iter().map(|[low, _]| *low).max().unwrap_or(0);
            let smallest = ends.iter().map(|[_, high]| *high).min().unwrap_or(0);
            greatest.saturating_sub(width)..=smallest.saturating_add(width)
        };
        match &limit.kind {
            Kind::Each => {}
            Kind::Spread(width) => {
                let within = within(*width);
                open.retain(|&number| within.contains(&place(number).1));
            }
            Kind::Apart(pairs, most) => {
                let mut windows = vec![[i128::MIN, i128::MAX]; slots];
                for &(one, other) in pairs {
                    for (slot, beside) in [(one, other), (other, one)] {
                        let ([from, to], [low, high]) = (windows[slot], ends[beside]);
                        windows[slot] = [from.max(low.saturating_sub(*most)), to.min(high.saturating_add(*most))];
                    }
                }
                open.retain(|&number| {
                    let (slot, value) = place(number);
                    (windows[slot][0]..=windows[slot][1]).contains(&value)
                });
            }
            Kind::Costs(most) => {
                let spare = most - ends.iter().map(|[low, _]| low).sum::<i128>();
                if spare < 0 {
                    return false;
                }
                open.retain(|&number| {
                    let (slot, value) = place(number);
                    value - ends[slot][0] <= spare
                });
            }
            Kind::Squares(most) => {
                let within = within(widest(slots, *most));
                open.retain(|&number| within.contains(&place(number).1));
                let settled = || ends.iter().filter(|[low, high]| low == high).map(|[low, _]| *low);
                let from = settled().next();
                let mut sums = Sums { slots: slots as i128, most: *most, from, ..Sums::default() };
                settled().for_each(|value| sums.add(value));
                if !sums.are_near() {
                    return false;
                }
                open.retain(|&number| {
                    let (slot, value) = place(number);
                    ends[slot][0] == ends[slot][1] || from.is_none() || sums.takes(value)
                });
            }
        }
        true
    }

    pub(super) fn len(&self) -> usize {
        self.all.len()
    }
}

impl Kind {
    /// `None` for a rule that cannot be kept.
    fn of(rule: SeveralRule<'_>, slots: usize) -> Option<Self> {
        if !rule.is_sound(slots) {
            return None;
        }
        Some(match rule {
            SeveralRule::Apart { pairs, ticks } => {
                let pairs = pairs.iter().map(|(one, other)| (one.index(), other.index())).collect();
                Self::Apart(pairs, ticks.into())
            }
            SeveralRule::NoWorse { measure, sense, than } => match measure {
                Measure::Spread => Self::Spread(than),
                Measure::SquaresAboutMean => Self::Squares(than),
                Measure::SquaresFrom { .. } => Self::Costs(than),
                Measure::Total => Self::Costs(if sense == Sense::Least { than } else { -than }),
                Measure::Greatest | Measure::Least | Measure::WorstFrom { .. } => Self::Each,
            },
        })
    }
}

/// What is compared, or added up, of a value.
fn cost(rule: SeveralRule<'_>, value: i128) -> i128 {
    match rule {
        SeveralRule::NoWorse { measure: Measure::SquaresFrom { target }, .. } => {
            let away = value - i128::from(target);
            away * away
        }
        SeveralRule::NoWorse { measure: Measure::WorstFrom { target }, .. } => (value - i128::from(target)).abs(),
        SeveralRule::NoWorse { measure: Measure::Total | Measure::Least, sense: Sense::Most, .. } => -value,
        _ => value,
    }
}

fn is_within(rule: SeveralRule<'_>, cost: i128) -> bool {
    match rule {
        SeveralRule::NoWorse { measure: Measure::Least, than, .. } => cost <= -than,
        SeveralRule::NoWorse { than, .. } => cost <= than,
        SeveralRule::Apart { .. } => true,
    }
}

/// Where further values may lie so that all are within `width` of each other.
fn together(values: impl Iterator<Item = i128> + Clone, width: i128) -> [i128; 2] {
    match (values.clone().max(), values.min()) {
        (Some(high), Some(low)) => [high.saturating_sub(width), low.saturating_add(width)],
        _ => [i128::MIN, i128::MAX],
    }
}

/// No values whose n·Σ v² − (Σ v)² is at most so much are further apart.
fn widest(slots: usize, most: i128) -> i128 {
    if most < 0 { -1 } else { (2 * most / (slots.max(1) as i128)).isqrt() }
}

/// What is left open by the bundles chosen so far.
pub(super) struct Gate<'l> {
    limits: &'l Limits,
    open: Vec<Open<'l>>,
}

enum Open<'l> {
    Anything,
    Window([i128; 2]),
    Windows(Vec<[i128; 2]>),
    /// What the open slots may cost beyond their cheapest.
    Spare {
        floor: &'l [i128],
        spare: i128,
    },
    Near(Sums),
}

impl Gate<'_> {
    pub(super) fn admits(&self, slot: usize, bundle: &Bundle) -> bool {
        self.open.iter().zip(&self.limits.all).all(|(open, limit)| {
            let value = limit.values[slot * self.limits.names + bundle.at];
            match open {
                Open::Anything => true,
                Open::Window([from, to]) => (*from..=*to).contains(&value),
                Open::Windows(windows) => (windows[slot][0]..=windows[slot][1]).contains(&value),
                Open::Spare { floor, spare } => value - floor[slot] <= *spare,
                Open::Near(sums) => sums.from.is_none() || sums.takes(value),
            }
        })
    }
}

/// Values chosen so far, counted from the first of them so that squares stay small.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    slots: i128,
    most: i128,
    from: Option<i128>,
    count: i128,
    sum: i128,
    squares: i128,
}

impl Sums {
    fn add(&mut self, value: i128) {
        let value = value - self.from.unwrap_or(0);
        (self.count, self.sum, self.squares) = (self.count + 1, self.sum + value, self.squares + value * value);
    }

    /// n·(k·Σv² − (Σv)²) ≤ k·most over the k chosen.
    fn are_near(&self) -> bool {
        self.slots * (self.count * self.squares - self.sum * self.sum) <= self.most.saturating_mul(self.count)
    }

    fn takes(mut self, value: i128) -> bool {
        self.add(value);
        self.are_near()
    }
}
