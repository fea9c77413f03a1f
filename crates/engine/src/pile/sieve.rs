//! Of thousands of parts, those that the best choice can be made of.
//!
//! The least spread of n parts over k positions asks for the matchings of k·n windows. But the best values lie in one narrow window, and
//! whatever lies in no window of that width that has a value for every position, and as many different parts as positions, is in no best
//! choice. How wide that is nobody knows beforehand; so a width is tried, the choice made from what is in such windows, and where it is
//! worth no more than the width allows, nothing outside could have been better. Else the width is doubled, or set to what was found.
//! Deviations from a target likewise, around the target.

use pairwright_assign::{Measure, Slot};

use super::found::Found;
use super::solve::{Choice, One, position, whole};
use super::tables::Tables;
use super::{Fitting, PileError, Sought};

/// Fewer parts than so many for each position are chosen from as they are.
const FEW: usize = 6;

/// The aim's value of one part in one position.
#[derive(Clone, Copy, Debug)]
struct Pair {
    value: i64,
    slot: usize,
    place: usize,
}

/// All pairs of parts and positions.
struct Pairs {
    slots: usize,
    parts: usize,
    /// By value, or by how far that is from the target.
    sorted: Vec<Pair>,
    /// Values are distances from a target: windows begin at 0.
    is_near: bool,
}

/// The best choice, sieved where that makes it quicker.
///
/// O(k·n·log(k·n)) for sorting, and a solve of few parts or some.
pub(super) fn sieved<F: Fitting>(fit: &F, parts: Choice<'_>, sought: Sought) -> Result<Found, PileError> {
    let slots = fit.positions();
    let value = |slot: Slot, place: usize| {
        whole(match parts.part(place) {
            One::InStock(part, numbers) => fit.value_in_stock(position(slot), part, numbers),
            One::Further(numbers) => fit.value(position(slot), numbers),
        }?)
    };
    let all: Vec<usize> = (0..parts.len()).collect();
    let as_they_are = || Tables::new(fit, parts, sought, &all, value)?.best();
    if fit.before() > 0 || parts.len() < FEW * slots {
        return as_they_are();
    }
    let Some(pairs) = Pairs::of(sought.measure(), slots, parts.len(), value) else { return as_they_are() };
    let (Some(least), most) = (pairs.least(), pairs.widest()) else { return as_they_are() };
    let mut width = (least + least / 2 + 1).min(most);
    loop {
        let kept = pairs.within(width);
        let mut places: Vec<usize> = kept.iter().map(|pair| pair.place).collect();
        places.sort_unstable();
        places.dedup();
        let is_kept = pairs.marked(&kept);
        let within =
            |slot: Slot, place: usize| value(slot, place).filter(|_| is_kept[slot.index() * parts.len() + place]);
        let found = Tables::new(fit, parts, sought, &places, within)?.best()?;
        let reach = found.aim().map(|aim| reach(sought.measure(), aim, slots));
        if width >= most || reach.is_some_and(|reach| reach <= width) {
            return Ok(found);
        }
        let twice = width.saturating_mul(2);
        width = reach.map_or(twice, |reach| reach.min(twice)).min(most);
    }
}

/// No choice that is better than one worth `aim` has values further apart, or further from the target, than this.
///
/// Squares about a mean, `Σ(x − x̄)²`, are at least half the square of the spread; squares from a target at least that of one deviation.
#[expect(clippy::cast_possible_truncation, reason = "values are within the solver's range")]
fn reach(measure: Measure, aim: f64, slots: usize) -> i64 {
    let n = slots as f64;
    match measure {
        Measure::SquaresAboutMean => ((2.0 * n).sqrt() * aim).ceil() as i64 + 1,
        Measure::SquaresFrom { .. } => (n.sqrt() * aim).ceil() as i64 + 1,
        _ => aim as i64,
    }
}

impl Pairs {
    /// `None` where the measure does not say which values lie close together.
    fn of(measure: Measure, slots: usize, parts: usize, value: impl Fn(Slot, usize) -> Option<i64>) -> Option<Self> {
        let target = match measure {
            Measure::Spread | Measure::SquaresAboutMean => None,
            Measure::WorstFrom { target } | Measure::SquaresFrom { target } => Some(target),
            _ => return None,
        };
        let pair = |slot: usize, place: usize| {
            let value = value(Slot::new(u32::try_from(slot).ok()?), place)?;
            let value = match target {
                Some(target) => i64::try_from(value.abs_diff(target)).ok()?,
                None => value,
            };
            Some(Pair { value, slot, place })
        };
        let all = (0..slots).flat_map(|slot| (0..parts).map(move |place| (slot, place)));
        let mut sorted: Vec<Pair> = all.filter_map(|(slot, place)| pair(slot, place)).collect();
        sorted.sort_unstable_by_key(|pair| (pair.value, pair.slot, pair.place));
        Some(Self { slots, parts, sorted, is_near: target.is_some() })
    }

    fn widest(&self) -> i64 {
        let ends = self.sorted.first().zip(self.sorted.last());
        ends.map_or(0, |(first, last)| last.value - if self.is_near { 0 } else { first.value })
    }

    /// The narrowest window that has a value for every position and as many parts as positions.
    fn least(&self) -> Option<i64> {
        let mut cover = Cover::new(self);
        let mut low = 0;
        let mut least: Option<i64> = None;
        for pair in &self.sorted {
            cover.add(*pair);
            while cover.is_full() {
                let from = if self.is_near { 0 } else { self.sorted[low].value };
                least = Some(least.map_or(pair.value - from, |least| least.min(pair.value - from)));
                if self.is_near {
                    return least;
                }
                cover.take(self.sorted[low]);
                low += 1;
            }
        }
        least
    }

    /// The pairs in windows so wide that have a value for every position and as many parts as positions.
    fn within(&self, width: i64) -> Vec<Pair> {
        if self.is_near {
            return self.sorted.iter().copied().take_while(|pair| pair.value <= width).collect();
        }
        let mut cover = Cover::new(self);
        let mut kept = Vec::new();
        let (mut next, mut marked) = (0, 0);
        for (low, first) in self.sorted.iter().enumerate() {
            while let Some(pair) = self.sorted.get(next).filter(|pair| pair.value - first.value <= width) {
                cover.add(*pair);
                next += 1;
            }
            if cover.is_full() {
                kept.extend_from_slice(&self.sorted[marked.max(low)..next]);
                marked = next;
            }
            cover.take(*first);
        }
        kept
    }

    /// Which pairs these are, position after position.
    fn marked(&self, kept: &[Pair]) -> Vec<bool> {
        let mut marked = vec![false; self.slots * self.parts];
        for pair in kept {
            marked[pair.slot * self.parts + pair.place] = true;
        }
        marked
    }
}

/// How many values a window has of every position and of every part.
struct Cover {
    of_slot: Vec<usize>,
    of_place: Vec<usize>,
    slots: usize,
    places: usize,
}

impl Cover {
    fn new(pairs: &Pairs) -> Self {
        Self { of_slot: vec![0; pairs.slots], of_place: vec![0; pairs.parts], slots: 0, places: 0 }
    }

    fn add(&mut self, pair: Pair) {
        self.slots += usize::from(self.of_slot[pair.slot] == 0);
        self.places += usize::from(self.of_place[pair.place] == 0);
        self.of_slot[pair.slot] += 1;
        self.of_place[pair.place] += 1;
    }

    fn take(&mut self, pair: Pair) {
        self.of_slot[pair.slot] -= 1;
        self.of_place[pair.place] -= 1;
        self.slots -= usize::from(self.of_slot[pair.slot] == 0);
        self.places -= usize::from(self.of_place[pair.place] == 0);
    }

    fn is_full(&self) -> bool {
        self.slots == self.of_slot.len() && self.places >= self.of_slot.len()
    }
}
