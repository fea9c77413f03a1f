//! Chains that begin with least spread over more items than can matter, window by window.
//!
//! A sieve finds the values near which every slot has one; the least spread is looked for among those, from the
//! sieve's own bound upwards. Then every window of that width (plus the slack) is a small problem by itself, over the
//! pairs inside it, and the best of their answers is the answer. Inside a window items with the same pairs there and
//! the
//! same values are interchangeable, so that of each class only the first n are looked at (`alike.rs` has the proof).
//! Windows are taken in the order of a bound on their answers, until no other one can be better.
//!
//! O(pairs) for the sieve and for each width tried, then a sort of what is left of it.

mod inside;
mod near;
mod outline;
mod places;
mod source;

use crate::alike::{Classes, mixed};
use crate::allowed::Allowed;
use crate::best::{Method, score};
use crate::chain;
use crate::extract::Extract;
use crate::outcome::{Outcome, Solution};
use crate::problem::Problem;
use crate::sieve::{Kept, Sieve};
use crate::spread::{self, Narrowest};
use crate::watch::Watch;
use inside::Inside;
use near::Near;
use outline::{Rank, is_beaten};
use pairwright_proof::{Criterion, Item, Measure};
use source::Source;

/// The answer; `None` if the problem is not of this kind or has none, or if the watch ended it.
pub(crate) fn solve(problem: &Problem<'_>, watch: &Watch<'_>) -> Option<Outcome> {
    let (first, later) = problem.criteria().split_first()?;
    let is_plain = |criterion: &Criterion<'_>| criterion.slack == 0 && !matches!(Method::of(criterion), Method::Far);
    if !problem.windows().is_empty() || !later.iter().all(is_plain) {
        return None;
    }
    match Method::of(first) {
        Method::Spread => by_spread(problem, first, later, watch),
        Method::AboutMean if first.slack == 0 => by_squares(problem, first, watch),
        _ => None,
    }
}

fn by_spread(
    problem: &Problem<'_>,
    first: &Criterion<'_>,
    later: &[Criterion<'_>],
    watch: &Watch<'_>,
) -> Option<Outcome> {
    let allowed = Allowed::new(problem, first.table)?;
    let sieve = Sieve::new(&allowed)?;
    let Narrow { found, mut kept, .. } = narrowest(&allowed, &sieve, watch)?;
    let width = found.spread.checked_add(first.slack)?;
    let mut starts = found.starts;
    if first.slack > 0 {
        kept = sieve.pairs(&allowed, width);
        let Near { pairs, must } = Near::new(&allowed, &kept.pairs);
        starts = spread::starts(pairs, &must, width, None);
    }
    if starts.len() > if first.slack > 0 { MOST_OVERLAPPING } else { MOST_WINDOWS } {
        return None;
    }
    let source = if kept.are_all { Source::Pairs(&kept.pairs) } else { Source::Table(&allowed) };
    Windows { problem, allowed: &allowed, source, later, starts: &starts, width, watch }.best().map(Outcome::Proven)
}

/// Squares about the mean come first: a limit on the spread goes before them that every best choice keeps.
///
/// The two outermost values alone make Σ(v − mean)² at least half their distance squared. So where some choice has V
/// = n·Σ(v −
/// mean)², the spread of the best ones is at most √(2V / n).
fn by_squares(problem: &Problem<'_>, first: &Criterion<'_>, watch: &Watch<'_>) -> Option<Outcome> {
    let allowed = Allowed::new(problem, first.table)?;
    let Narrow { found, squares, .. } = narrowest(&allowed, &Sieve::new(&allowed)?, watch)?;
    let slots = problem.shape().slots as i128;
    let widest = i64::try_from((2 * squares / slots).isqrt()).ok()?;
    let slack = widest.checked_sub(found.spread)?;
    let limit = Criterion { measure: Measure::Spread, slack, ..*first };
    let criteria = std::iter::once(limit).chain(problem.criteria().iter().copied()).collect();
    let limited = Problem::new(criteria, Vec::new()).ok()?;
    let limited = limited.with_changes(problem.changes().clone()).with_effort(problem.effort());
    let (first, later) = limited.criteria().split_first()?;
    match by_spread(&limited, first, later, watch)? {
        Outcome::Proven(mut solution) => {
            solution.values.remove(0);
            Some(Outcome::Proven(solution))
        }
        _ => None,
    }
}

/// With more windows than this, dividing them pays better than taking them one by one.
const MOST_WINDOWS: usize = 1 << 14;
/// The same where some slack makes windows overlap.
const MOST_OVERLAPPING: usize = 512;

/// The least spread, and the pairs among which it was found.
struct Narrow {
    found: Narrowest,
    kept: Kept,
    /// n·Σv² − (Σv)² of the choice found.
    squares: i128,
}

/// The least spread, looked for upwards from the sieve's bound.
fn narrowest(allowed: &Allowed<'_>, sieve: &Sieve, watch: &Watch<'_>) -> Option<Narrow> {
    let mut width = sieve.least;
    let mut step = (width / 16).max(1);
    loop {
        let kept = sieve.pairs(allowed, width);
        let Near { pairs, must } = Near::new(allowed, &kept.pairs);
        let anew = pairs.clone();
        let found = spread::least(pairs, &must, None, watch);
        if watch.stopped().is_some() {
            return None;
        }
        match found {
            Some(found) if found.spread <= width => {
                let squares = near::squares(&anew, &found.choice);
                return Some(Narrow { found, kept, squares });
            }
            Some(found) => width = found.spread.min(width + step),
            None if width >= sieve.most => return None,
            None => width = sieve.most.min(width + step),
        }
        step *= 2;
    }
}

struct Windows<'a, 't> {
    problem: &'a Problem<'t>,
    allowed: &'a Allowed<'t>,
    source: Source<'a, 't>,
    later: &'a [Criterion<'t>],
    /// Lower ends, ascending.
    starts: &'a [i64],
    width: i64,
    watch: &'a Watch<'a>,
}

/// So many windows are looked into at first, then four times as many at a time.
const FIRST_BATCH: usize = 2;

impl Windows<'_, '_> {
    fn best(&self) -> Option<Solution> {
        let ranked = outline::ranked(self);
        let mut rest = &ranked[..];
        let mut batch = FIRST_BATCH;
        let mut masks = vec![0; self.problem.shape().items];
        let mut best: Option<(Rank, Solution)> = None;
        let hopeless = |bound: &Rank, best: &Option<(Rank, Solution)>| {
            best.as_ref().is_some_and(|(rank, _)| is_beaten(bound, rank, self.later.len()))
        };
        while rest.first().is_some_and(|(bound, _)| !hopeless(bound, &best)) {
            let (now, later) = rest.split_at(batch.min(rest.len()));
            let mut starts: Vec<i64> = now.iter().map(|&(_, start)| start).collect();
            starts.sort_unstable();
            let insides = inside::gather(&self.source, self.allowed, &starts, self.width);
            for (bound, start) in now {
                let at = starts.partition_point(|other| other < start);
                if !self.watch.goes_on() {
                    return None;
                }
                if !hopeless(bound, &best)
                    && let Some((rank, solution)) = self.solve(&insides[at], &mut masks)
                    && best.as_ref().is_none_or(|(before, _)| rank < *before)
                {
                    best = Some((rank, solution));
                }
            }
            rest = later;
            batch *= 4;
        }
        if self.watch.stopped().is_some() {
            return None;
        }
        best.map(|(_, solution)| solution)
    }

    /// The best choice inside a window.
    fn solve(&self, inside: &Inside, masks: &mut [u64]) -> Option<(Rank, Solution)> {
        let mut touched = self.allowed.must.clone();
        for (slot, items) in inside.rows() {
            for item in items {
                let mask = &mut masks[item.index()];
                if *mask == 0 {
                    touched.push(*item);
                }
                *mask |= 1 << slot.index();
            }
        }
        touched.sort_unstable();
        touched.dedup();
        let items = self.told_apart(&touched, masks);
        let here: Vec<u64> = items.iter().map(|item| masks[item.index()]).collect();
        for item in touched {
            masks[item.index()] = 0;
        }
        let extract = Extract::new(self.problem, items, |slot, place| here[place] >> slot.index() & 1 == 1);
        let small = extract.problem();
        let Ok(Outcome::Proven(found)) = chain::plain(&small, self.watch) else {
            return None;
        };
        let solution = Solution { choice: extract.back(&found.choice), values: found.values };
        let scores = self.later.iter().map(|criterion| score(criterion, solution.choice.items()));
        Some(((scores.collect::<Option<_>>()?, solution.choice.items().to_vec()), solution))
    }

    /// Of items with the same pairs and values inside a window only the first ones; items that must be used always.
    fn told_apart(&self, items: &[Item], masks: &[u64]) -> Vec<Item> {
        let slots = self.problem.shape().slots;
        if items.len() <= 4 * slots {
            return items.to_vec();
        }
        let mut tables = self.problem.distinct_tables();
        if self.width == 0 {
            // One value for all pairs.
            tables.retain(|table| !std::ptr::eq(*table, self.allowed.table));
        }
        let tables = &tables;
        let cells = |item: Item| {
            let mask = masks[item.index()];
            let slots = self.allowed.slots().filter(move |slot| mask >> slot.index() & 1 == 1);
            slots.flat_map(move |slot| tables.iter().map(move |table| table.row(slot)[item.index()]))
        };
        let mut classes = Classes::new(items.len());
        let mut keep = |item: &Item| {
            if self.allowed.must.binary_search(item).is_ok() {
                return true;
            }
            let mask = masks[item.index()];
            let hash = cells(*item).fold(mixed(0, mask.cast_signed()), mixed);
            let same = |first: Item| masks[first.index()] == mask && cells(first).eq(cells(*item));
            classes.meet(hash, *item, same) < slots
        };
        items.iter().copied().filter(|item| keep(item)).collect()
    }
}
