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

/// The value of what is sought of these values, by its definition.
fn measured(sought: Sought, values: &[f64]) -> f64 {
    let n = values.len() as f64;
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let mean = values.iter().sum::<f64>() / n;
    let square_about = |centre: f64| (values.iter().map(|value| (value - centre).powi(2)).sum::<f64>() / n).sqrt();
    match EVERY.iter().position(|known| *known == sought) {
        Some(0) => high - low,
        Some(1) => square_about(mean),
        Some(2 | 4) => values.iter().sum(),
        Some(3) => low,
        Some(5) => high,
        Some(6) => (high - 1_050.0).abs().max((low - 1_050.0).abs()),
        Some(7) => square_about(1_050.0),
        _ => panic!("not one of the eight"),
    }
}

/// The same of whole ticks.
fn measured_ticks(sought: Sought, values: &[i64]) -> f64 {
    measured(sought, &values.iter().map(|&value| value as f64).collect::<Vec<_>>())
}
