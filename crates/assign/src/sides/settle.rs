//! Sieving: which pairs of a part can still be in a choice that keeps the rules.

use super::prices;
use super::rules::{Limit, Part, Rules};
use crate::best::{Method, over_pairs};
use crate::grid::Grid;
use crate::matching::Matching;
use crate::sum;
use crate::watch::Watch;
use pairwright_proof::{Item, Neighbour, Slot, Table};

/// The part holds no choice that keeps the rules.
#[derive(Debug)]
pub(crate) struct Empty;

/// What is known of a part that was sieved.
#[derive(Debug)]
pub(crate) struct Settled {
    /// Choices of the part that come near to keeping the rules.
    pub(crate) near: Vec<Vec<Item>>,
    /// No choice of the part that keeps the rules scores less by the aim; 0 without an aim.
    pub(crate) bound: i128,
}

impl Rules<'_> {
    /// Drops pairs of `part` that no choice keeping the rules and `aim` uses, until nothing more is found.
    ///
    /// Cheap sieves first, to a fixed point; then a matching, and for every limit the method for that limit alone, and for
    /// two totals a price on one of them. One round costs O(pairs · log pairs) a neighbour limit and a few assignments
    /// a total.
    pub(crate) fn settle(&self, part: &mut Part, aim: Option<&Limit<'_>>) -> Result<Settled, Empty> {
        loop {
            self.sieve(part, aim)?;
            let mut matching = Matching::empty(&part.grid);
            matching.complete(&part.grid, &part.must).map_err(|_| Empty)?;
            let before = part.clone();
            // The aim is the last of the limits.
            let limits: Vec<&Limit<'_>> = self.limits.iter().chain(aim).collect();
            let bounds = limits.iter().map(|limit| bound(limit, part)).collect::<Result<Vec<_>, Empty>>()?;
            let mut settled = Settled { near: Vec::new(), bound: 0 };
            if let (Some(main), Some(Bounded { choice: cheap, least })) = (limits.last(), bounds.last()) {
                settled.bound = if aim.is_some() { *least } else { 0 };
                for (other, Bounded { choice: kept, .. }) in limits.iter().zip(&bounds).rev().skip(1) {
                    let priced = prices::together([*main, *other], part, [cheap, kept], &mut settled.near)?;
                    settled.bound = priced.filter(|_| aim.is_some()).map_or(settled.bound, |b| b.max(settled.bound));
                }
            }
            settled.near.extend(bounds.into_iter().rev().map(|bounded| bounded.choice));
            settled.near.push(matching.choice());
            if *part == before {
                return Ok(settled);
            }
        }
    }

    /// The cheap sieves, to a fixed point. The checker of proofs has the same ones.
    pub(crate) fn sieve(&self, part: &mut Part, aim: Option<&Limit<'_>>) -> Result<(), Empty> {
        loop {
            let before = part.clone();
            singles(part)?;
            self.items.sieve(part);
            for limit in self.limits.iter().chain(aim) {
                sieve_limit(limit, &mut part.grid)?;
            }
            for neighbour in &self.neighbours {
                keep_close(neighbour, &mut part.grid)?;
            }
            if *part == before {
                return Ok(());
            }
        }
    }
}

/// An item that a slot has to take goes to no other slot; a compulsory item with one slot left goes there.
fn singles(part: &mut Part) -> Result<(), Empty> {
    for slot in part.grid.slots() {
        let mut items = part.grid.items_of(slot);
        let first = items.next().ok_or(Empty)?;
        let is_only = items.next().is_none();
        drop(items);
        if is_only {
            part.grid.force(slot, first);
        }
    }
    let Part { grid, must } = part;
    for item in must.iter().map(Item::new) {
        let mut slots = grid.slots().filter(|&slot| grid.has(slot, item));
        let first = slots.next().ok_or(Empty)?;
        let is_only = slots.next().is_none();
        if is_only {
            grid.force(first, item);
        }
    }
    Ok(())
}

/// What can be seen of a limit slot by slot.
fn sieve_limit(limit: &Limit<'_>, grid: &mut Grid) -> Result<(), Empty> {
    let table = limit.criterion.table;
    if let Method::Sum(cost) = Method::of(&limit.criterion) {
        return keep_cheap(|slot, item| cost.of(slot, item), limit.most, grid);
    }
    limit.width(grid.slot_count()).map_or(Ok(()), |width| keep_narrow(table, width, grid))
}

/// Values farther than `width` above the smallest largest value of a slot, or below the largest smallest one, are out.
fn keep_narrow(table: &Table, width: i128, grid: &mut Grid) -> Result<(), Empty> {
    if width < 0 {
        return Err(Empty);
    }
    let values = |slot: Slot| grid.items_of(slot).map(move |item| i128::from(table.row(slot)[item.index()]));
    let lows = grid.slots().filter_map(|slot| values(slot).min());
    let highs = grid.slots().filter_map(|slot| values(slot).max());
    let (Some(low), Some(high)) = (lows.max(), highs.min()) else {
        return Ok(());
    };
    let kept = low.saturating_sub(width)..=high.saturating_add(width);
    grid.keep_of_table(table, |value| kept.contains(&value.into()));
    Ok(())
}

/// Pairs that cost too much even if every other slot takes its cheapest item are out.
fn keep_cheap(cost: impl Fn(Slot, Item) -> i128, most: i128, grid: &mut Grid) -> Result<(), Empty> {
    let least = |slot: Slot| grid.items_of(slot).map(|item| cost(slot, item)).min();
    let cheapest = grid.slots().map(least).collect::<Option<Vec<_>>>().ok_or(Empty)?;
    let spare = most.saturating_sub(cheapest.iter().sum());
    if spare < 0 {
        return Err(Empty);
    }
    grid.retain(|slot, item| cost(slot, item) - cheapest[slot.index()] <= spare);
    Ok(())
}

/// Arc consistency: a value without one close enough on the other side is out.
fn keep_close(limit: &Neighbour<'_>, grid: &mut Grid) -> Result<(), Empty> {
    if limit.most < 0 {
        return Err(Empty);
    }
    if limit.one == limit.other {
        return Ok(());
    }
    for (slot, beside) in [(limit.one, limit.other), (limit.other, limit.one)] {
        let row = limit.table.row(beside);
        let mut values: Vec<i64> = grid.items_of(beside).map(|item| row[item.index()]).collect();
        values.sort_unstable();
        let row = limit.table.row(slot);
        let far: Vec<Item> = grid
            .items_of(slot)
            .filter(|item| {
                let value = row[item.index()];
                let at = values.partition_point(|&other| other < value.saturating_sub(limit.most));
                values.get(at).is_none_or(|&other| other > value.saturating_add(limit.most))
            })
            .collect();
        for item in far {
            grid.clear(slot, item);
        }
    }
    Ok(())
}

/// The best of a limit's criterion over a part, all other rules aside.
struct Bounded {
    choice: Vec<Item>,
    least: i128,
}

/// Bounds a part by a limit; a total also drops the pairs that its prices rule out.
fn bound(limit: &Limit<'_>, part: &mut Part) -> Result<Bounded, Empty> {
    if let Method::Sum(cost) = Method::of(&limit.criterion) {
        let assigned = sum::cheapest_of(&cost, &part.grid, &part.must, &Watch::unlimited()).ok_or(Empty)?;
        let spare = limit.most.saturating_sub(assigned.total);
        if spare < 0 {
            return Err(Empty);
        }
        assigned.keep_of(&cost, &mut part.grid, &mut part.must, spare);
        return Ok(Bounded { choice: assigned.choice, least: assigned.total });
    }
    match over_pairs(&limit.criterion, &part.grid, &part.must) {
        Some(best) if best.bound <= limit.most => Ok(Bounded { choice: best.choice, least: best.bound }),
        _ => Err(Empty),
    }
}
