//! Squares about an unknown mean, one stretch of sums after the other.
//!
//! With n values of the sum S, about a sum c: n·Σv² − S² = Σ (n·v² − 2·c·v) + c² − (S − c)². Costs about c whose least
//! sum, c² added, is by g > 0 above the limit settle all sums within √(g − 1) of it. What they do not settle is divided
//! until the last term is small beside the limit; then prices are sought, and branching has to do the rest.

use super::Unproven;
use super::node::{Ground, Next, Node, Way};
use pairwright_proof::SeveralStep;

/// Stretches at most.
const MOST: usize = 1 << 15;

/// A step that divides the sums, and the ways it leaves.
pub(super) fn divide(ground: &Ground, node: &Node, most: i128) -> Result<(SeveralStep, Vec<Way>), Unproven> {
    let small = most.max(0).isqrt() / 2;
    let nearest = Nearest::of(ground, node);
    let mut open = vec![node.reach(ground)];
    // The last sum of each, and the prices for it.
    let mut stretches: Vec<(i128, Next)> = Vec::new();
    while let Some([first, last]) = open.pop() {
        if first > last {
            continue;
        }
        if stretches.len() == MOST {
            return Err(Unproven::TooLong);
        }
        // Rounded down, so that both halves are smaller.
        let about = first + (last - first) / 2;
        let above = nearest.cost(about) + about * about - most;
        if above > 0 {
            let reach = (above - 1).isqrt();
            let until = last.min(about + reach);
            stretches.push((until, Next::Plain(about)));
            open.extend([[until + 1, last], [first, about - reach - 1]]);
        } else if last - first <= small {
            stretches.push((last, Next::Raised(about)));
        } else {
            open.extend([[about + 1, last], [first, about]]);
        }
    }
    stretches.sort_unstable_by_key(|&(until, _)| until);
    let last = stretches.len().saturating_sub(1);
    let mut cuts = Vec::with_capacity(last);
    let mut least = node.least;
    let mut ways = Vec::with_capacity(stretches.len());
    for (at, &(until, next)) in stretches.iter().enumerate() {
        if at == last {
            ways.push(Way::Sums { least, most: node.most, next });
        } else {
            let most = Some(node.most.map_or(until, |most| most.min(until)));
            ways.push(Way::Sums { least, most, next });
            least = Some(least.map_or(until + 1, |least| least.max(until + 1)));
            cuts.push(until);
        }
    }
    Ok((SeveralStep::Sums(cuts), ways))
}

/// The values of every slot, ascending.
struct Nearest(Vec<Vec<i128>>);

impl Nearest {
    fn of(ground: &Ground, node: &Node) -> Self {
        let sorted = |own: &[u32]| {
            let mut values: Vec<i128> = own.iter().map(|&at| ground.serving(at).value).collect();
            values.sort_unstable();
            values
        };
        Self(node.by_slot(ground).map(sorted).collect())
    }

    /// What every arrangement costs at least about this sum: every slot at its value nearest to the mean.
    fn cost(&self, about: i128) -> i128 {
        let slots = self.0.len() as i128;
        let least = |values: &Vec<i128>| {
            let at = values.partition_point(|&value| slots * value < about);
            let near = &values[at.saturating_sub(1)..values.len().min(at + 1)];
            near.iter().map(|value| slots * value * value - 2 * about * value).min().unwrap_or(0)
        };
        self.0.iter().map(least).sum()
    }
}
