//! Rows of further parts, as the stock leaves them open.

use std::collections::BTreeMap;

use super::Numbers;
use super::joint::{Joint, Normal};
use super::kernel::Kernel;
use super::population::{Population, Source};
use crate::statistics::{NormalDraws, Stream, normal_cdf};

/// The streams of the futures begin here, one a future.
const FIRST_STREAM: u64 = 1 << 32;

/// One future: parts without end, of one distribution that the stock leaves possible.
#[derive(Debug)]
pub(super) struct Future<'p> {
    draws: NormalDraws,
    width: usize,
    source: Possible<'p>,
}

#[derive(Debug)]
enum Possible<'p> {
    Normal(Joint),
    /// The stock drawn again with replacement, as far as it was asked for: what the stock might have been instead.
    Smoothed {
        kernel: &'p Kernel,
        redrawn: BTreeMap<usize, usize>,
    },
}

impl<'p> Future<'p> {
    /// The future with this number.
    pub(super) fn new(population: &'p Population, seed: u64, number: u64) -> Self {
        let mut draws = NormalDraws::new(seed, Stream::new(FIRST_STREAM.wrapping_add(number)));
        let source = match &population.source {
            Source::Normal(stock) => Possible::Normal(stock.drawn(&mut draws)),
            Source::Smoothed(kernel) => Possible::Smoothed { kernel, redrawn: BTreeMap::new() },
        };
        Self { draws, width: population.scatters().len(), source }
    }

    /// The normal distribution of the parts' first number, where it has one.
    pub(super) fn normal(&self) -> Option<Normal> {
        match &self.source {
            Possible::Normal(joint) => Some(joint.first()),
            Possible::Smoothed { .. } => None,
        }
    }

    /// The first `count` parts.
    pub(super) fn parts(mut self, count: usize) -> Numbers {
        let mut parts = Numbers::none(self.width);
        (0..count).for_each(|_| parts.push(self.next_part()));
        parts
    }

    fn next_part(&mut self) -> Vec<f64> {
        match &mut self.source {
            Possible::Normal(joint) => joint.part(&mut self.draws),
            Possible::Smoothed { kernel, redrawn } => {
                let place = pick(&mut self.draws, kernel.centres().len());
                let again = pick(&mut self.draws, kernel.centres().len());
                let centre = *redrawn.entry(place).or_insert(again);
                kernel.near(centre, &mut self.draws)
            }
        }
    }
}

/// One of `count` places, all as likely.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a share of the count: not below 0, not above it"
)]
fn pick(draws: &mut NormalDraws, count: usize) -> usize {
    let share = normal_cdf(draws.next_draw());
    ((share * count as f64) as usize).min(count.saturating_sub(1))
}
