//! What leaves the values uneven, thing by thing.

use std::collections::BTreeMap;

use super::{Contribution, Scene};
use crate::fit::{Ingredient, Made};
use crate::plan::pairs;

/// For everything that the aim's fit is made of the spread that would be left if only it differed from position to
/// position, all else being its mean over the positions; the largest first. Empty for a fit made of one thing, and
/// where nothing can be told apart.
pub(super) fn contributions(scene: &Scene<'_, '_>) -> Vec<Contribution> {
    let frame = scene.frame();
    let fit = frame.aim_fit();
    let seats = pairs(&scene.chosen.parts).into_iter().map(|pair| fit.made(pair));
    let Some(made) = seats.collect::<Option<Vec<Made>>>() else { return Vec::new() };
    let mut sizes: BTreeMap<Ingredient, Vec<f64>> = BTreeMap::new();
    for (ingredient, size) in made.iter().flat_map(Made::ingredients) {
        sizes.entry(ingredient).or_default().push(size);
    }
    // A crevice or a recess that only some positions know of cannot be set against the others.
    sizes.retain(|_, sizes| sizes.len() == made.len());
    let means: BTreeMap<Ingredient, f64> =
        sizes.iter().map(|(&ingredient, sizes)| (ingredient, sizes.iter().sum::<f64>() / sizes.len() as f64)).collect();
    let mean = |of: Ingredient| means.get(&of).copied().unwrap_or(0.0);
    let mut out: Vec<Contribution> = sizes
        .iter()
        .map(|(&ingredient, sizes)| {
            let value = |size: f64| made[0].value(|of| if of == ingredient { size } else { mean(of) });
            let values = || sizes.iter().map(|&size| value(size));
            let spread = values().fold(f64::MIN, f64::max) - values().fold(f64::MAX, f64::min);
            Contribution { of: ingredient, spread: whole(spread) }
        })
        .collect();
    out.sort_by_key(|contribution| std::cmp::Reverse(contribution.spread));
    out
}

#[expect(clippy::cast_possible_truncation, reason = "a spread of an engine's values is far inside i64")]
fn whole(ticks: f64) -> i64 {
    ticks.round_ties_even() as i64
}
