//! A choice to start from: matched kind by kind, then bettered by exchanges.

use super::budget::Budget;
use super::ground::Ground;
use super::meter::Meter;
use super::problem::JointAim;
use crate::{Outcome, Problem, Shortage, solve};
use pairwright_proof::{Choice, Criterion, Item, JointChoice, JointStatement, Measure, Outer, Sense, Side, Table};

/// Rows of exchanges, one slot against all others, over all starts.
const MOVES: u64 = 1 << 10;
/// Rounds of exchanges over all slots, at most.
const ROUNDS: usize = 50;
/// Starts per outer choice.
const STARTS: u64 = 2;

/// Whether each kind suffices by itself, and a choice of both that may still hold forbidden triples.
pub(crate) fn kind_by_kind(statement: &JointStatement<'_>) -> Result<[Vec<Item>; 2], (Side, Shortage)> {
    let of = |side: Side, table: &Table| match matched(table) {
        Err(shortage) => Err((side, shortage)),
        Ok(items) => Ok(items),
    };
    Ok([of(Side::First, statement.first)?, of(Side::Second, statement.second)?])
}

/// Any choice of a table; no items if the table cannot be asked, which its own limits rule out.
fn matched(table: &Table) -> Result<Vec<Item>, Shortage> {
    if table.slots().zip(table.items()).filter(|&(slot, item)| table.get(slot, item).is_some()).count()
        == table.shape().slots
    {
        return Ok(table.items().take(table.shape().slots).collect());
    }
    let worst = Criterion { table, measure: Measure::Greatest, sense: Sense::Least, slack: 0 };
    match Problem::new(vec![worst], Vec::new()).map(|problem| solve(&problem)) {
        Ok(Outcome::Impossible(shortage)) => Err(shortage),
        Ok(outcome) => Ok(outcome.solution().map(|solution| solution.choice.items().to_vec()).unwrap_or_default()),
        Err(_) => Ok(Vec::new()),
    }
}

/// A plan under exchange: the chosen items first, the spare ones after them.
struct Plan<'g> {
    ground: &'g Ground<'g>,
    outer: Outer,
    items: [Vec<u32>; 2],
    values: Vec<i64>,
    /// Of the values less the reference.
    sum: i128,
    squares: i128,
    reference: i64,
    about_mean: bool,
}

impl<'g> Plan<'g> {
    fn new(ground: &'g Ground<'g>, outer: Outer, aim: JointAim, items: [Vec<u32>; 2]) -> Option<Self> {
        let value = |slot: usize| ground.value(outer, slot, items[0][slot], items[1][slot]);
        let values: Vec<i64> = (0..ground.slots).map(value).collect::<Option<_>>()?;
        let (reference, about_mean) = match aim {
            JointAim::WorstFrom { target } | JointAim::SquaresFrom { target } => (target, false),
            JointAim::Total => (-JointStatement::LIMIT, false),
            JointAim::Spread | JointAim::SquaresAboutMean => (values.first().copied().unwrap_or(0), true),
        };
        let away = |value: &i64| i128::from(*value) - i128::from(reference);
        let (sum, squares) = (values.iter().map(away).sum(), values.iter().map(|value| away(value).pow(2)).sum());
        Some(Self { ground, outer, items, values, sum, squares, reference, about_mean })
    }

    fn score(&self, sum: i128, squares: i128) -> i128 {
        if self.about_mean { self.ground.slots as i128 * squares - sum * sum } else { squares }
    }

    /// Exchanges what two places of a kind hold if that is better; the second place may be a spare one.
    fn exchange(&mut self, kind: usize, slot: usize, other: usize) -> bool {
        self.items[kind].swap(slot, other);
        let value = |slot: usize| self.ground.value(self.outer, slot, self.items[0][slot], self.items[1][slot]);
        let places = [slot, other];
        let touched = places.into_iter().filter(|&place| place < self.ground.slots);
        let changed: Option<Vec<(usize, i64)>> = touched.map(|place| Some((place, value(place)?))).collect();
        let Some(changed) = changed else {
            self.items[kind].swap(slot, other);
            return false;
        };
        let away = |value: i64| i128::from(value) - i128::from(self.reference);
        let (mut sum, mut squares) = (self.sum, self.squares);
        for &(place, value) in &changed {
            let (new, old) = (away(value), away(self.values[place]));
            sum += new - old;
            squares += new * new - old * old;
        }
        if self.score(sum, squares) >= self.score(self.sum, self.squares) {
            self.items[kind].swap(slot, other);
            return false;
        }
        (self.sum, self.squares) = (sum, squares);
        for (place, value) in changed {
            self.values[place] = value;
        }
        true
    }

    /// Betters the plan until no exchange does.
    fn better(&mut self, meter: &mut Meter<'_>) {
        for _ in 0..ROUNDS {
            let mut moved = false;
            for slot in 0..self.ground.slots {
                if !meter.spend() {
                    return;
                }
                for kind in 0..2 {
                    for other in slot + 1..self.items[kind].len() {
                        moved |= self.exchange(kind, slot, other);
                    }
                }
            }
            if !moved {
                return;
            }
        }
    }

    fn choice(&self) -> JointChoice {
        let kind = |items: &[u32]| Choice::new(items[..self.ground.slots].iter().copied().map(Item::new).collect());
        JointChoice { outer: self.outer, first: kind(&self.items[0]), second: kind(&self.items[1]) }
    }
}

/// The matched items under an outer choice, if that is allowed or the second kind can be matched again to the first.
pub(crate) fn matched_choice(ground: &Ground<'_>, outer: Outer, matched: &[Vec<Item>; 2]) -> Option<JointChoice> {
    let items = both(ground, outer, matched)?;
    Plan::new(ground, outer, JointAim::Spread, items).map(|plan| plan.choice())
}

/// Plans made of `matched` under each of `outers` by exchanges, some from shuffled starts.
pub(crate) fn exchanged(
    ground: &Ground<'_>,
    aim: JointAim,
    outers: &[Outer],
    matched: &[Vec<Item>; 2],
    seed: u64,
) -> Vec<JointChoice> {
    // Short of what a search takes that is long enough for exchanges to matter; the clock is not asked in between.
    let mut meter = Meter::new(&Budget::nodes(MOVES));
    let mut numbers = Numbers(seed);
    let mut plans = Vec::new();
    for &outer in outers {
        let Some(items) = both(ground, outer, matched) else {
            continue;
        };
        for start in 0..STARTS {
            let Some(mut plan) = Plan::new(ground, outer, aim, items.clone()) else {
                continue;
            };
            if start > 0 {
                plan = shuffled(&plan, aim, &mut numbers).unwrap_or(plan);
            }
            plan.better(&mut meter);
            plans.push(plan.choice());
        }
    }
    plans
}

/// Plans made of a known choice by exchanges: as it is, and from shuffled starts.
pub(crate) fn bettered(ground: &Ground<'_>, aim: JointAim, known: &JointChoice, seed: u64) -> Vec<JointChoice> {
    let mut meter = Meter::new(&Budget::nodes(MOVES));
    let mut numbers = Numbers(seed);
    let items = [with_spare(known.first.items(), ground.firsts), with_spare(known.second.items(), ground.seconds)];
    let Some(known) = Plan::new(ground, known.outer, aim, items.clone()) else { return Vec::new() };
    let mut plans = Vec::new();
    while meter.stopped().is_none() {
        let start = if plans.is_empty() { Plan::new(ground, known.outer, aim, items.clone()) } else { None };
        let Some(mut plan) = start.or_else(|| shuffled(&known, aim, &mut numbers)) else { break };
        plan.better(&mut meter);
        plans.push(plan.choice());
    }
    plans
}

/// The items of both kinds, spare ones after the chosen; the second kind matched again to the first where triples are
/// forbidden.
fn both(ground: &Ground<'_>, outer: Outer, matched: &[Vec<Item>; 2]) -> Option<[Vec<u32>; 2]> {
    let firsts = with_spare(&matched[0], ground.firsts);
    let seconds = with_spare(&matched[1], ground.seconds);
    let allowed = |second: &[u32], slot: usize| {
        let (first, second) = (*firsts.get(slot)?, *second.get(slot)?);
        ground.value(outer, slot, first, second)
    };
    if (0..ground.slots).all(|slot| allowed(&seconds, slot).is_some()) {
        return Some([firsts, seconds]);
    }
    let shape = ground.statement.second.shape();
    let table = Table::from_fn(shape, |slot, item| {
        let first = *firsts.get(slot.index())?;
        ground.value(outer, slot.index(), first, item.number()).map(|_| 0)
    });
    let again = matched_again(&table.ok()?)?;
    Some([firsts, with_spare(&again, ground.seconds)])
}

fn matched_again(table: &Table) -> Option<Vec<Item>> {
    matched(table).ok().filter(|items| items.len() == table.shape().slots)
}

fn with_spare(chosen: &[Item], count: usize) -> Vec<u32> {
    let mut used = vec![false; count];
    for item in chosen {
        used[item.index()] = true;
    }
    let spare = (0_u32..).zip(used).filter(|&(_, used)| !used).map(|(item, _)| item);
    chosen.iter().map(|item| item.number()).chain(spare).collect()
}

/// The plan after random exchanges that are allowed.
fn shuffled<'g>(plan: &Plan<'g>, aim: JointAim, numbers: &mut Numbers) -> Option<Plan<'g>> {
    let ground = plan.ground;
    let mut items = plan.items.clone();
    for kind in 0..2 {
        for slot in 0..ground.slots {
            let other = slot + numbers.below(items[kind].len() - slot);
            items[kind].swap(slot, other);
            let allowed = |slot: usize| ground.value(plan.outer, slot, items[0][slot], items[1][slot]).is_some();
            if !allowed(slot) || (other < ground.slots && !allowed(other)) {
                items[kind].swap(slot, other);
            }
        }
    }
    Plan::new(ground, plan.outer, aim, items)
}

/// `SplitMix64` (Steele, Lea and Flood 2014; constants from memory).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, bound: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        // The remainder is below the bound, which is a `usize`.
        usize::try_from((mixed ^ (mixed >> 31)) % (bound.max(1) as u64)).unwrap_or(0)
    }
}
