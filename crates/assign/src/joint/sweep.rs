//! Spread and squares about the mean: windows that end at a triple's value.
//!
//! Every choice has a triple that comes last in the order of values (then of slots): it is looked for in the window below that triple.
//! A window as wide as the bar asks for is empty in some slot unless the last triple of every slot lies near
//! enough; how near is noted once a triple, so that a pass over all windows of some width is one comparison each.

use super::descend::{Core, Rule, Window};
use super::ground::{Ground, Triple};
use super::problem::JointError;
use super::thick::{self, Thick};
use pairwright_proof::{Outer, Scale};

/// Triples a slot, on average, from which on a window is thick.
const THICK: usize = 6;
/// Wider than any spread.
const WIDEST: i64 = 1 << 44;

/// What a pass uses again and again.
struct Room {
    inside: Vec<Triple>,
    counts: Vec<u32>,
    /// The last value whose windows were searched as one.
    searched: Option<i64>,
}

/// The triples of an outer choice by ascending value.
#[derive(Debug)]
pub(crate) struct Sweep {
    outer: Outer,
    triples: Vec<Triple>,
    /// For every triple the width of the narrowest window ending there in which every slot has a triple.
    widths: Vec<i64>,
    /// The smallest of `widths`.
    pub(crate) narrowest: i64,
    /// Of the sums of a complete choice.
    total: Option<i128>,
}

impl Sweep {
    /// O(N log N) for N triples, O(N log n) for a monotone scale and n slots.
    pub(crate) fn new(ground: &Ground<'_>, outer: Outer) -> Result<Self, JointError> {
        let mut triples = ground.triples(outer)?;
        // Stable, so that slots ascend among equal values.
        triples.sort_by_key(|triple| triple.value);
        let mut last: Vec<i64> = vec![-WIDEST; ground.slots];
        let mut lowest = -WIDEST;
        let mut widths = Vec::with_capacity(triples.len());
        for triple in &triples {
            let before = std::mem::replace(&mut last[usize::from(triple.slot)], triple.value);
            if before == lowest {
                lowest = last.iter().copied().min().unwrap_or(0);
            }
            widths.push(if lowest == -WIDEST { i64::MAX } else { triple.value - lowest });
        }
        let narrowest = widths.iter().copied().min().unwrap_or(i64::MAX);
        Ok(Self { outer, triples, widths, narrowest, total: ground.total(outer) })
    }

    /// Looks through all windows that the bar lets through.
    pub(crate) fn pass(&self, core: &mut Core<'_, '_>, about_mean: bool) {
        let mut room = Room { inside: Vec::new(), counts: vec![0; core.ground.slots], searched: None };
        let mut widest = widest(core, about_mean);
        for (at, &width) in self.widths.iter().enumerate() {
            if width > widest {
                continue;
            }
            if core.is_over() {
                return;
            }
            if self.holds_mean(core, at, widest) {
                if !about_mean && core.bar.is_about_aim() && self.is_thick(core.ground, at, widest) {
                    self.thick(core, at, &mut room);
                } else {
                    self.below(core, at, widest, about_mean, &mut room);
                }
                widest = self::widest(core, about_mean);
            }
        }
    }

    /// Whether a window holds so many triples that it is better searched kind by kind.
    fn is_thick(&self, ground: &Ground<'_>, at: usize, widest: i64) -> bool {
        let least = self.triples[at].value - widest;
        let reach = at.checked_sub(THICK * ground.slots);
        thick::suits(ground) && reach.is_some_and(|reach| self.triples[reach].value >= least)
    }

    /// All windows that end at this value in one.
    fn thick(&self, core: &mut Core<'_, '_>, at: usize, room: &mut Room) {
        let top = self.triples[at].value;
        if room.searched.replace(top) == Some(top) {
            return;
        }
        let end = at + self.triples[at..].partition_point(|triple| triple.value == top);
        let mut search = Thick::new(core.ground);
        while !core.is_over() {
            let least = top - widest(core, false);
            let start = self.triples[..at].partition_point(|triple| triple.value < least);
            let inside = &self.triples[start..end];
            let Some((first, second)) = search.find(inside.iter(), &mut core.meter) else {
                return;
            };
            core.take(self.outer, &first, &second);
        }
    }

    /// Where values are sums and their total is known, the window has to hold their mean.
    fn holds_mean(&self, core: &Core<'_, '_>, at: usize, widest: i64) -> bool {
        match (self.total, core.ground.statement.scale) {
            (Some(total), Scale::Sum) => {
                let slots = core.ground.slots as i128;
                let top = i128::from(self.triples[at].value) * slots;
                top >= total && top - (slots - 1) * i128::from(widest) <= total
            }
            _ => true,
        }
    }

    fn below(&self, core: &mut Core<'_, '_>, at: usize, widest: i64, about_mean: bool, room: &mut Room) {
        let (inside, counts) = (&mut room.inside, &mut room.counts);
        let root = self.triples[at];
        let alike = &core.ground.alike;
        let is_repeat = alike[0].before(root.first).or(alike[1].before(root.second)).is_some();
        if is_repeat || !core.meter.spend() {
            return;
        }
        inside.clear();
        counts.fill(0);
        counts[usize::from(root.slot)] = 1;
        let mut empty = core.ground.slots - 1;
        let least = root.value - widest;
        for &triple in self.triples[..at].iter().rev().take_while(|triple| triple.value >= least) {
            if triple.slot != root.slot && triple.first != root.first && triple.second != root.second {
                let count = &mut counts[usize::from(triple.slot)];
                empty -= usize::from(*count == 0);
                *count += 1;
                inside.push(triple);
            }
        }
        if empty > 0 || !self.reaches_total(core.ground, root, inside) {
            return;
        }
        let top = root.value;
        let rule = if about_mean { Rule::AboutMean { top } } else { Rule::Spread { top } };
        core.search(Window { outer: self.outer, rule, triples: inside, costs: &[], root: Some(root) });
    }

    /// Whether the smallest and the largest sums of the slots leave room for the total, if it is known.
    fn reaches_total(&self, ground: &Ground<'_>, root: Triple, inside: &[Triple]) -> bool {
        let Some(total) = self.total else {
            return true;
        };
        let mut ends: Vec<Option<(i64, i64)>> = vec![None; ground.slots];
        for &triple in inside.iter().chain([&root]) {
            let sum = ground.sum(self.outer, triple);
            let end = ends[usize::from(triple.slot)].get_or_insert((sum, sum));
            *end = (end.0.min(sum), end.1.max(sum));
        }
        let least: i128 = ends.iter().flatten().map(|end| i128::from(end.0)).sum();
        let most: i128 = ends.iter().flatten().map(|end| i128::from(end.1)).sum();
        (least..=most).contains(&total)
    }
}

/// How wide a window may be. For squares about the mean q = n·Σ v² − (Σ v)² is the sum over all pairs of their
/// squared distance: s² for the two ends, and at least s²/2 for each other value and both ends: n·s²/2 ≤ q.
fn widest(core: &Core<'_, '_>, about_mean: bool) -> i64 {
    let bar = core.bar.key.0;
    let width = if bar < 0 {
        -1
    } else if about_mean {
        (bar / core.ground.slots.max(1) as i128).saturating_mul(2).saturating_add(1).isqrt()
    } else {
        bar
    };
    i64::try_from(width).map_or(WIDEST, |width| width.min(WIDEST))
}
