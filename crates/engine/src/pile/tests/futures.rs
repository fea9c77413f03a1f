//! What is drawn, against what it should be distributed like.

use super::{normal_stock, two_batches};
use crate::pile::futures::Future;
use crate::pile::{Judged, Model, Numbers, PileError, Population};
use crate::statistics::{Dof, Risk, Summary, t_upper_quantile};

fn population(values: &[f64]) -> Result<Population, PileError> {
    Population::of(&Numbers::single(values.to_vec()))
}

fn drawn(population: &Population, futures: u64, parts: usize) -> Vec<Vec<f64>> {
    (0..futures).map(|number| Future::new(population, 9, number).parts(parts).column(0)).collect()
}

/// One further part, with mean and scatter both unknown, is `x̄ + t·s·√(1 + 1/n)` with n − 1 degrees of freedom.
#[test]
fn one_further_part_of_a_normal_stock_follows_students_t() {
    for parts in [8, 300] {
        let stock = normal_stock(parts, 1);
        let population = population(&stock).unwrap();
        let summary = Summary::of(&stock);
        let deviation = summary.standard_deviation().unwrap();
        let mut first: Vec<f64> = drawn(&population, 20_000, 1).concat();
        first.sort_by(f64::total_cmp);
        for (share, at) in [(0.025, 19_500), (0.16, 16_800)] {
            let t = t_upper_quantile(Risk::new(share).unwrap(), Dof::of_count(parts - 1).unwrap());
            let known = t * (1.0 + 1.0 / parts as f64).sqrt();
            let found = (first[at] - summary.mean) / deviation;
            assert!((found - known).abs() < 0.06, "{parts} at {share}: {found} {known}");
        }
    }
}

#[test]
fn a_smoothed_stock_keeps_mean_and_variance_and_goes_beyond_its_best() {
    let stock = two_batches(60);
    let population = population(&stock).unwrap();
    assert!(matches!(population.judged(), Judged::NotNormal { number: 0, found } if found.p < 0.01));
    assert_eq!(population.model(), Model::Smoothed);
    assert!(population.scatters()[0].bandwidth > 0.0);
    let all = drawn(&population, 4_000, 5).concat();
    let (of_stock, of_all) = (Summary::of(&stock), Summary::of(&all));
    let variance = of_all.sum_squares / of_all.count as f64 / (of_stock.sum_squares / of_stock.count as f64);
    assert!((variance - 1.0).abs() < 0.05, "{variance}");
    assert!((of_all.mean - of_stock.mean).abs() < 30.0, "{} {}", of_all.mean, of_stock.mean);
    let best = stock.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    assert!(all.iter().any(|&part| part > best));
    // Two batches stay two: few parts lie between them.
    let between = all.iter().filter(|part| (part.abs() - of_stock.mean).abs() < 100.0).count();
    assert!((between as f64) < 0.1 * all.len() as f64, "{between}");
}

#[test]
fn a_longer_future_begins_like_a_shorter_one() {
    for stock in [normal_stock(12, 2), two_batches(60)] {
        let population = population(&stock).unwrap();
        let (short, long) = (drawn(&population, 3, 4), drawn(&population, 3, 40));
        for (short, long) in short.iter().zip(&long) {
            assert_eq!(short[..], long[..4]);
        }
        assert_ne!(long[0][..4], long[1][..4]);
    }
}

#[test]
fn what_says_nothing_of_other_parts_is_refused() {
    assert!(matches!(population(&[1.0, 2.0, 3.0]), Err(PileError::TooFewParts { parts: 3, fewest: 4 })));
    assert!(matches!(population(&[7.0; 9]), Err(PileError::AllAlike { parts: 9 })));
    assert!(matches!(population(&[1.0, f64::NAN, 2.0, 3.0]), Err(PileError::NoNumber { part: 1, .. })));
    assert!(matches!(population(&[1.0, 5.0, 2.0, 3.0]).unwrap().judged(), Judged::TooFewToTell));
    assert!(matches!(population(&normal_stock(40, 3)).unwrap().judged(), Judged::Normal(_)));
}

/// Two numbers that go together still do in further parts, and each alone is as doubtful as if it were the only one.
#[test]
fn numbers_of_a_part_are_drawn_together() {
    let first = normal_stock(30, 1);
    let second: Vec<f64> = first.iter().zip(normal_stock(30, 2)).map(|(a, b)| 0.8 * a + 0.6 * b).collect();
    let rows: Vec<[f64; 2]> = first.iter().zip(&second).map(|(a, b)| [*a, *b]).collect();
    let both = Population::of(&Numbers::rows(&rows)).unwrap();
    let parts: Vec<Numbers> = (0..8_000).map(|number| Future::new(&both, 3, number).parts(1)).collect();
    let columns = [0, 1].map(|at| parts.iter().map(|part| part.part(0)[at]).collect::<Vec<f64>>());
    let correlation = |one: &[f64], other: &[f64]| {
        let (a, b) = (Summary::of(one), Summary::of(other));
        let common: f64 = one.iter().zip(other).map(|(x, y)| (x - a.mean) * (y - b.mean)).sum();
        common / (a.sum_squares * b.sum_squares).sqrt()
    };
    let (known, found) = (correlation(&first, &second), correlation(&columns[0], &columns[1]));
    assert!((known - found).abs() < 0.04, "{known} {found}");
    for (stock, drawn) in [&first, &second].into_iter().zip(&columns) {
        // The variance of t with 29 degrees of freedom, 29/27, and that of the mean.
        let ratio = Summary::of(drawn).standard_deviation().unwrap() / Summary::of(stock).standard_deviation().unwrap();
        let known = (29.0_f64 / 27.0 * (1.0 + 1.0 / 30.0)).sqrt();
        assert!((ratio - known).abs() < 0.04, "{ratio} {known}");
    }
}

/// A number that does not vary, or that is twice another, does not break the draws.
#[test]
fn numbers_that_say_nothing_new_follow_the_others() {
    let rows: Vec<[f64; 3]> = normal_stock(12, 6).into_iter().map(|a| [a, 5.0, 2.0 * a]).collect();
    let population = Population::of(&Numbers::rows(&rows)).unwrap();
    for number in 0..20 {
        for part in Future::new(&population, 1, number).parts(10).parts() {
            assert!((part[1] - 5.0).abs() < 1e-9 && (part[2] - 2.0 * part[0]).abs() < 1e-6 * part[0].abs(), "{part:?}");
        }
    }
}
