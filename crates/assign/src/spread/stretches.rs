//! All smallest values that a choice of some spread could have, in stretches: what a proof goes through.

use super::ahead::Lines;
use super::{Pairs, Sweep};
use crate::grid::{Bits, Grid};
use crate::matching::Violator;
use pairwright_proof::Table;

/// Why some smallest values of a choice are out of the question, or that they are not.
pub(crate) enum Stretch {
    /// With a smallest value up to `until`, these are too few.
    Short { until: i64, violator: Violator },
    /// With a smallest value up to `until` there are choices, all of them among the pairs shown to `hold`.
    Held { until: i64, held: usize },
}

/// All smallest values in stretches, ascending, for windows of this width; `hold` is shown the pairs of every window
/// that holds a choice and has a pair that the window before has not. The grid holds choices.
///
/// Smallest values so small or so large that some slot has nothing in the window are one stretch each.
pub(crate) fn stretches(
    grid: &Grid,
    table: &Table,
    must: &Bits,
    width: i64,
    mut hold: impl FnMut(&Grid) -> Option<()>,
) -> Option<Vec<Stretch>> {
    let lines = Lines::of(grid, table);
    let ((up, down), (lowest, highest)) = lines.ends().zip(lines.outermost())?;
    let first = up.saturating_sub(width);
    let mut all: Vec<Stretch> = Vec::new();
    if lowest < first {
        let violator = lines.without(|low, _| low == up)?;
        all.push(Stretch::Short { until: first - 1, violator });
    }
    if first <= down {
        let values = first..=down.saturating_add(width);
        let end = if down < highest { down } else { i64::MAX };
        all.extend(swept(Pairs::within(grid, table, values), must, (width, end), &mut hold)?);
    }
    if down < highest {
        let violator = lines.without(|_, high| high == down)?;
        all.push(Stretch::Short { until: i64::MAX, violator });
    }
    Some(all)
}

/// The stretches of smallest values up to `end`.
fn swept(
    pairs: Pairs,
    must: &Bits,
    (width, end): (i64, i64),
    hold: &mut impl FnMut(&Grid) -> Option<()>,
) -> Option<Vec<Stretch>> {
    let mut sweep = Sweep::new(pairs, must, None);
    let mut all: Vec<Stretch> = Vec::new();
    let mut held = 0;
    loop {
        let low = sweep.low().or_else(|| sweep.next());
        let before = sweep.to;
        while let (Some(low), Some(next)) = (low, sweep.next()) {
            if next.saturating_sub(low) > width {
                break;
            }
            sweep.take();
        }
        let has_grown = sweep.to > before || all.is_empty();
        let was_stuck = sweep.stuck.is_some();
        let holds = sweep.choice().is_some();
        let last = if sweep.next().is_none() { end } else { low.unwrap_or(end).min(end) };
        match (all.last_mut(), holds) {
            (Some(Stretch::Short { until, .. }), false) if was_stuck => *until = last,
            (Some(Stretch::Held { until, .. }), true) if !has_grown => *until = last,
            (_, true) => {
                hold(&sweep.inside)?;
                all.push(Stretch::Held { until: last, held });
                held += 1;
            }
            (_, false) => all.push(Stretch::Short { until: last, violator: sweep.stuck.clone()? }),
        }
        if last == end {
            return Some(all);
        }
        sweep.drop_low();
    }
}
