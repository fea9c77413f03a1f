//! Least spread where values add up: the table is never laid out.
//!
//! With slots by falling and items by rising values some choice of least spread keeps the order (the rearrangement
//! inequality: G. H. Hardy, J. E. Littlewood and G. Pólya, *Inequalities*, 1934, §10.2; from memory). Of those that keep
//! it and have no value below L, the one that takes the smallest item for each slot in turn has the smallest largest value
//! U(L), which does not fall as L rises; the mirror image, from the other end, has the largest smallest value for that U. So
//! a sweep goes from one such window to the next: from L to U(L), back to the L' that goes with it, and on behind L'; where
//! the window is too wide to matter, on to where it could be narrow enough.
//!
//! O(n·log n + m·log m) to sort, then O(n·log(m / n)) a step for n slots and m items.

use pairwright_proof::{Additive, Choice, Item};

/// A choice of least spread of an additive table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NarrowestChoice {
    /// The choice; of equally good ones any.
    pub choice: Choice,
    /// Its largest value less its smallest, in ticks.
    pub spread: i64,
    /// Its smallest value, in ticks.
    pub low: i64,
}

/// A choice of least spread; `None` if there are fewer items than slots.
///
/// Exact for up to a million slots and more items: what it costs is sorting them. [`check_additive`] goes over it without
/// solving.
///
/// [`check_additive`]: pairwright_proof::check_additive
///
/// # Examples
/// ```
/// use pairwright_assign::{Additive, check_additive, narrowest};
///
/// let table = Additive::new(vec![0, 5, 9], vec![0, 4, 10, 30])?;
/// let best = narrowest(&table).expect("there are enough items");
/// // 0 + 10, 5 + 4 and 9 + 0.
/// assert_eq!((best.spread, best.low), (1, 9));
/// assert_eq!(check_additive(&table, &best.choice, best.spread), Ok(()));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn narrowest(table: &Additive) -> Option<NarrowestChoice> {
    if table.items().len() < table.slots().len() {
        return None;
    }
    if table.items().len() == table.slots().len()
        && let Some((slots, items)) = Packed::of(table.slots()).zip(Packed::of(table.items()))
    {
        return Some(opposites(&slots, &items));
    }
    let (mut slots, items) = (Ranks::of(table.slots()), Ranks::of(table.items()));
    slots.values.reverse();
    slots.numbers.reverse();
    let sorted = Sorted { slots: &slots.values, items: &items.values };
    let Some(window) = sorted.narrowest() else {
        return Some(NarrowestChoice { choice: Choice::new(Vec::new()), spread: 0, low: 0 });
    };
    let mut choice = vec![Item::new(0); slots.numbers.len()];
    sorted.greedy(window.low, |place, at| choice[slots.numbers[place] as usize] = Item::new(items.numbers[at]));
    Some(NarrowestChoice { choice: Choice::new(choice), spread: window.high - window.low, low: window.low })
}

/// Where all items are used: the largest with the smallest, and so on.
fn opposites(slots: &Packed, items: &Packed) -> NarrowestChoice {
    let mut choice = vec![Item::new(0); slots.words.len()];
    let mut window: Option<Window> = None;
    for ((slot, number), (item, taken)) in slots.ranked().rev().zip(items.ranked()) {
        choice[number as usize] = Item::new(taken);
        let value = slot + item;
        let Window { low, high } = window.unwrap_or(Window { low: value, high: value });
        window = Some(Window { low: low.min(value), high: high.max(value) });
    }
    let Window { low, high } = window.unwrap_or(Window { low: 0, high: 0 });
    NarrowestChoice { choice: Choice::new(choice), spread: high - low, low }
}

/// Values, rising, with their numbers, one word each: how far above the least, then the number.
struct Packed {
    words: Vec<u64>,
    least: i64,
    /// Bits of the numbers.
    shift: u32,
}

impl Packed {
    /// `None` where a value and a number have no room in one word.
    fn of(values: &[i64]) -> Option<Self> {
        let least = values.iter().copied().min().unwrap_or(0);
        let range = values.iter().map(|value| value.abs_diff(least)).max().unwrap_or(0);
        let shift = u64::BITS - (values.len() as u64).leading_zeros();
        if range.leading_zeros() < shift {
            return None;
        }
        let pack = |(number, value): (u64, &i64)| value.abs_diff(least) << shift | number;
        let mut words: Vec<u64> = (0..).zip(values).map(pack).collect();
        words.sort_unstable();
        Some(Self { words, least, shift })
    }

    fn ranked(&self) -> impl DoubleEndedIterator<Item = (i64, u32)> + '_ {
        let numbers = (1 << self.shift) - 1;
        self.words.iter().map(move |&word| {
            let number = u32::try_from(word & numbers).expect("a table has at most 2^30 items");
            (self.least.wrapping_add_unsigned(word >> self.shift), number)
        })
    }
}

/// Values, rising, and their numbers.
struct Ranks {
    values: Vec<i64>,
    numbers: Vec<u32>,
}

impl Ranks {
    fn of(values: &[i64]) -> Self {
        let (values, numbers) = if let Some(packed) = Packed::of(values) {
            packed.ranked().unzip()
        } else {
            let mut all: Vec<(i64, u32)> = values.iter().copied().zip(0..).collect();
            all.sort_unstable();
            all.into_iter().unzip()
        };
        Self { values, numbers }
    }
}

/// Where the values of a choice lie.
#[derive(Clone, Copy, Debug)]
struct Window {
    low: i64,
    high: i64,
}

impl Window {
    const fn width(self) -> i64 {
        self.high - self.low
    }

    /// The narrower one; of equal ones this.
    const fn or_narrower(self, other: Self) -> Self {
        if other.width() < self.width() { other } else { self }
    }
}

/// How many windows are looked at before the sweep.
const SAMPLES: i64 = 6;

/// Slots by falling and items by rising values.
struct Sorted<'a> {
    slots: &'a [i64],
    items: &'a [i64],
}

impl Sorted<'_> {
    /// The narrowest window that holds a choice; `None` without slots.
    fn narrowest(&self) -> Option<Window> {
        let mut low = self.slots.last()? + self.items.first()?;
        if self.slots.len() == self.items.len() {
            return self.opposites();
        }
        let mut best = self.sampled(low)?;
        while best.width() > 0
            && let Some(high) = self.greedy(low, |_, _| ())
        {
            low = if high - low < best.width() {
                let window = Window { low: self.mirrored(high)?, high };
                best = best.or_narrower(window);
                window.low + 1
            } else {
                high - best.width() + 1
            };
        }
        Some(best)
    }

    /// The window of the only choice that keeps the order where all items are used.
    fn opposites(&self) -> Option<Window> {
        let values = self.slots.iter().zip(self.items).map(|(slot, item)| slot + item);
        Some(Window { low: values.clone().min()?, high: values.max()? })
    }

    /// The narrowest of a few windows from one end to the other, so that the sweep has something to beat.
    fn sampled(&self, lowest: i64) -> Option<Window> {
        let widest = Window { low: lowest, high: self.greedy(lowest, |_, _| ())? };
        let step = (self.mirrored(i64::MAX)? - lowest) / SAMPLES;
        let at = |sample: i64| {
            let high = self.greedy(lowest + sample * step, |_, _| ())?;
            Some(Window { low: self.mirrored(high)?, high })
        };
        Some((0..=SAMPLES).filter_map(at).fold(widest, Window::or_narrower))
    }

    /// The smallest largest value of choices without one below `low`, `take` being told the items by place; `None` if there is
    /// no such choice.
    fn greedy(&self, low: i64, mut take: impl FnMut(usize, usize)) -> Option<i64> {
        let (mut from, mut high) = (0, i64::MIN);
        for (place, slot) in self.slots.iter().enumerate() {
            from += leading(&self.items[from..], |item| slot + item < low);
            let value = slot + self.items.get(from)?;
            take(place, from);
            high = high.max(value);
            from += 1;
        }
        Some(high)
    }

    /// The largest smallest value of choices without one above `high`; `None` if there is no such choice.
    fn mirrored(&self, high: i64) -> Option<i64> {
        let (mut until, mut low) = (self.items.len(), i64::MAX);
        for slot in self.slots.iter().rev() {
            until -= trailing(&self.items[..until], |item| slot + item > high);
            until = until.checked_sub(1)?;
            low = low.min(slot + self.items[until]);
        }
        Some(low)
    }
}

/// How many values at the start are such that something is true, which is true of none behind them: in steps that double.
fn leading(of: &[i64], is: impl Fn(i64) -> bool) -> usize {
    let mut reach = 1;
    while reach <= of.len() && is(of[reach - 1]) {
        reach *= 2;
    }
    let known = reach / 2;
    known + of[known..of.len().min(reach)].partition_point(|&value| is(value))
}

/// The same at the end.
fn trailing(of: &[i64], is: impl Fn(i64) -> bool) -> usize {
    let mut reach = 1;
    while reach <= of.len() && is(of[of.len() - reach]) {
        reach *= 2;
    }
    let (known, count) = (reach / 2, of.len());
    let rest = &of[count - count.min(reach)..count - known];
    known + rest.len() - rest.partition_point(|&value| !is(value))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jobs::jobs;
    use crate::{Criterion, Measure, Outcome, Problem, Sense, check_additive, solve};
    use proptest::collection::vec;
    use proptest::prelude::*;

    #[test]
    fn without_slots_or_without_enough_items_there_is_nothing_to_choose() {
        let empty = Additive::new(Vec::new(), vec![3]).unwrap();
        assert_eq!(narrowest(&empty), Some(NarrowestChoice { choice: Choice::new(Vec::new()), spread: 0, low: 0 }));
        assert_eq!(narrowest(&Additive::new(vec![1, 2], vec![3]).unwrap()), None);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(jobs(2000)))]

        #[test]
        fn prop_as_narrow_as_the_table_laid_out(
            range in prop::sample::select(vec![3_i64, 20, 1000]),
            slots in vec(0_i64..1000, 0..6),
            items in vec(0_i64..1000, 5..12),
        ) {
            let within = |of: Vec<i64>| of.into_iter().map(|value| value % range - range / 2).collect::<Vec<_>>();
            let table = Additive::new(within(slots), within(items)).unwrap();
            let best = narrowest(&table).unwrap();
            prop_assert_eq!(check_additive(&table, &best.choice, best.spread), Ok(()));
            let whole = table.laid_out().unwrap();
            let even = Criterion { table: &whole, measure: Measure::Spread, sense: Sense::Least, slack: 0 };
            let Outcome::Proven(solution) = solve(&Problem::new(vec![even], vec![]).unwrap()) else { panic!() };
            prop_assert_eq!(&solution.values, &[i128::from(best.spread)]);
            // A wider choice is refused.
            let values = solution.values[0];
            let wider = Choice::new((0..).map(Item::new).take(table.shape().slots).collect());
            let claimed = table.slots().iter().zip(table.items()).map(|(slot, item)| slot + item);
            let spread = claimed.clone().max().unwrap_or(0) - claimed.min().unwrap_or(0);
            prop_assert_eq!(check_additive(&table, &wider, spread).is_ok(), i128::from(spread) == values);
        }

        #[test]
        fn prop_values_are_ranked_with_their_numbers(values in vec(prop_oneof![-9_i64..9, any::<i64>()], 0..40)) {
            let ranks = Ranks::of(&values);
            let mut all: Vec<(i64, u32)> = values.into_iter().zip(0..).collect();
            all.sort_unstable();
            prop_assert_eq!(ranks.values.into_iter().zip(ranks.numbers).collect::<Vec<_>>(), all);
        }

        #[test]
        fn prop_steps_that_double_count_what_is_true(mut of in vec(0_i64..30, 0..40), limit in 0_i64..31) {
            of.sort_unstable();
            prop_assert_eq!(leading(&of, |value| value < limit), of.iter().filter(|value| **value < limit).count());
            prop_assert_eq!(trailing(&of, |value| value > limit), of.iter().filter(|value| **value > limit).count());
        }
    }
}
