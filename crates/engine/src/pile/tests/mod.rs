//! Piles against brute force, laws that must hold, and closed forms.

mod against_brute_force;
mod bundles;
mod buying;
mod couples;
mod futures;
mod laws;
mod needs;

use super::{Line, Numbers, Pile, Sought};
use crate::statistics::{NormalDraws, Stream};

/// So many parts of a normal distribution around 1,000 with a standard deviation of 100, whole ticks.
fn normal_stock(parts: usize, seed: u64) -> Vec<f64> {
    let mut draws = NormalDraws::new(seed, Stream::new(77));
    (0..parts).map(|_| (1_000.0 + 100.0 * draws.next_draw()).round()).collect()
}

/// Two batches, 1,000 apart.
fn two_batches(parts: usize) -> Vec<f64> {
    normal_stock(parts, 5).iter().enumerate().map(|(at, value)| value + 1_000.0 * f64::from(at % 2 == 0)).collect()
}

fn deck(effects: &[f64], parts: Vec<f64>, sought: Sought) -> Pile<Line> {
    Pile::new(Line::adding(effects.iter().copied()), Numbers::single(parts), sought).unwrap()
}

const EVERY: [Sought; 8] = [
    Sought::EVEN,
    Sought::EVEN_BY_SQUARES,
    Sought::HIGHEST,
    Sought::HIGHEST_BY_LEAST,
    Sought::LOWEST,
    Sought::LOWEST_BY_GREATEST,
    Sought::near(1_050),
    Sought::near_by_squares(1_050),
];
