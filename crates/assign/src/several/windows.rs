//! Least spread and least squares about the mean: a sweep over the greatest value.
//!
//! For each bundle as the one with the greatest value x, the other slots choose from the window below x that could still
//! be better than the best so far: a range of each slot's list, sorted by value. Σ(v − mean)² ≥ spread²/2 gives a window for
//! the squares too.

use super::beside::Limits;
use super::decide::{Effort, Rule, Spent, decide};
use super::field::{Bundle, Chosen};

/// What is to be small.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Width {
    Spread,
    /// n·Σv² − (Σv)², the spread being at most this.
    Squares {
        within: i64,
    },
}

impl Width {
    pub(crate) fn score(self, chosen: &Chosen) -> i128 {
        let values = || chosen.iter().map(|bundle| i128::from(bundle.value));
        match self {
            Self::Spread => values().max().unwrap_or(0) - values().min().unwrap_or(0),
            Self::Squares { .. } => {
                let (count, total) = (chosen.len() as i128, values().sum::<i128>());
                count * values().map(|v| v * v).sum::<i128>() - total * total
            }
        }
    }

    /// The widest window in which a choice can score at most this.
    pub(crate) fn window(self, slots: usize, score: i128) -> i64 {
        let width = match self {
            Self::Spread => score,
            Self::Squares { within } => (score.saturating_mul(2) / (slots.max(1) as i128)).isqrt().min(within.into()),
        };
        i64::try_from(width).unwrap_or(i64::MAX)
    }

    /// No choice whose spread is at least this scores less than what is returned.
    fn least_score(self, slots: usize, spread: i128) -> i128 {
        match self {
            Self::Spread => spread,
            // n/2 · spread², rounded up.
            Self::Squares { .. } => (slots as i128 * spread * spread + 1) / 2,
        }
    }
}

/// Values of which n·Σv² − (Σv)² over all slots is to be at most `most`; those chosen alone must not exceed it in
/// n·(Σv² − (Σv)²/k).
#[derive(Clone, Copy, Debug)]
struct Near {
    slots: i128,
    most: i128,
    /// Values are counted from here, so that squares stay small.
    from: i64,
    count: i128,
    total: i128,
    squares: i128,
}

impl Rule for Near {
    fn with(mut self, value: i64) -> Option<Self> {
        let value = i128::from(value) - i128::from(self.from);
        self.count += 1;
        self.total += value;
        self.squares += value * value;
        let least = self.slots * (self.count * self.squares - self.total * self.total);
        (least <= self.most.saturating_mul(self.count)).then_some(self)
    }
}

/// Improves on `best` (its score and bundles) until nothing scores less; with `any`, until it scores at most that.
///
/// Leaves the best choice met in `best`; `Spent` if the sweep did not come to its end.
pub(crate) fn sweep(
    width: Width,
    lists: &[Vec<Bundle>],
    best: &mut Option<(i128, Chosen)>,
    any: Option<i128>,
    limits: &Limits,
    effort: &mut Effort<'_>,
) -> Result<(), Spent> {
    if lists.is_empty() && best.is_none() {
        *best = Some((0, Vec::new()));
    }
    let mut tops: Vec<(i64, usize, usize)> = Vec::new();
    for (slot, list) in lists.iter().enumerate() {
        tops.extend(list.iter().enumerate().map(|(place, bundle)| (bundle.value, slot, place)));
    }
    tops.sort_unstable();
    for (top, slot, place) in tops {
        loop {
            let most = best.as_ref().map_or(any.unwrap_or(i128::MAX), |&(score, _)| score - 1);
            if most < 0 {
                return Ok(());
            }
            let window = width.window(lists.len(), most);
            if window < 0 {
                // A limit below zero on the spread, which no choice keeps.
                return Ok(());
            }
            let low = top.saturating_sub(window);
            let within = |list: &[Bundle]| {
                let from = list.partition_point(|bundle| bundle.value < low);
                from..list.partition_point(|bundle| bundle.value <= top)
            };
            let mut windows: Vec<&[Bundle]> = lists.iter().map(|list| &list[within(list)]).collect();
            windows[slot] = &lists[slot][place..=place];
            if windows.iter().any(|window| window.is_empty()) {
                break;
            }
            let near = Near { slots: lists.len() as i128, most, from: top, count: 0, total: 0, squares: 0 };
            let found = match width {
                Width::Spread => decide(&windows, super::decide::Free, limits, effort)?,
                Width::Squares { .. } => decide(&windows, near, limits, effort)?,
            };
            let Some(chosen) = found else { break };
            *best = Some((width.score(&chosen), chosen));
            if any.is_some() {
                return Ok(());
            }
        }
    }
    Ok(())
}

/// No choice scores less: the narrowest window that holds a bundle of every slot, items that are taken twice or not.
pub(crate) fn bound(width: Width, lists: &[Vec<Bundle>]) -> i128 {
    let mut tops: Vec<i64> = lists.iter().flatten().map(|bundle| bundle.value).collect();
    tops.sort_unstable();
    tops.dedup();
    let reach = |&top: &i64| {
        let nearest = |list: &Vec<Bundle>| {
            let to = list.partition_point(|bundle| bundle.value <= top);
            Some(list[to.checked_sub(1)?].value)
        };
        let low = lists.iter().map(nearest).collect::<Option<Vec<i64>>>()?.into_iter().min()?;
        Some(i128::from(top) - i128::from(low))
    };
    let spread = tops.iter().filter_map(reach).min().unwrap_or(0);
    width.least_score(lists.len(), spread)
}
