//! A second derivation: the whole design matrix at once, by singular values.

use super::super::cells::Cells;
use super::super::components::Components;
use super::super::effects::fit_at;
use super::super::rounding::Scatter;
use super::super::{PartId, PositionId, Reading, reduce};
use super::{connected, plain_gauge};
use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;

fn row(parts: usize, positions: usize, part: usize, position: usize) -> DVector<f64> {
    let mut row = DVector::zeros(parts + positions);
    row[part] = 1.0;
    row[parts + position] = 1.0;
    row
}

fn all_pairs(parts: usize, positions: usize) -> Vec<(PartId, PositionId)> {
    (0..u32::try_from(parts).unwrap())
        .flat_map(|part| {
            (0..u32::try_from(positions).unwrap()).map(move |position| (PartId::new(part), PositionId::new(position)))
        })
        .collect()
}

fn pseudo_inverse(matrix: DMatrix<f64>) -> DMatrix<f64> {
    matrix.pseudo_inverse(1e-9).unwrap()
}

/// Ordinary least squares on the readings themselves.
struct Dense {
    effects: DVector<f64>,
    inverse: DMatrix<f64>,
    variance: f64,
}

fn dense(parts: usize, positions: usize, readings: &[Reading]) -> Dense {
    let mut design = DMatrix::zeros(readings.len(), parts + positions);
    for (at, reading) in readings.iter().enumerate() {
        let row = row(parts, positions, reading.part.index(), reading.position.index());
        design.set_row(at, &row.transpose());
    }
    let values = DVector::from_iterator(readings.len(), readings.iter().map(|r| r.value));
    let inverse = pseudo_inverse(design.transpose() * &design);
    let effects = &inverse * design.transpose() * &values;
    let squares = (values - &design * &effects).norm_squared();
    let dof = readings.len() - (parts + positions - 1);
    Dense { effects, inverse, variance: squares / dof as f64 }
}

proptest! {
    #[test]
    fn readings_without_spots_are_ordinary_least_squares((parts, positions, readings) in connected(0)) {
        let brute = dense(parts, positions, &readings);
        let effects = reduce(parts, positions, &readings, &plain_gauge(), &[]).unwrap();
        let pairs = all_pairs(parts, positions);
        let covariance = effects.covariance(&pairs).unwrap();
        prop_assert!((effects.repeatability().s.powi(2) - brute.variance).abs() < 1e-7 * (1.0 + brute.variance));
        for (i, a) in pairs.iter().enumerate() {
            let left = row(parts, positions, a.0.index(), a.1.index());
            let found = effects.predict(a.0, a.1).unwrap();
            prop_assert!((found.value - left.dot(&brute.effects)).abs() < 1e-7);
            for (j, b) in pairs.iter().enumerate() {
                let right = row(parts, positions, b.0.index(), b.1.index());
                let expected = brute.variance * left.dot(&(&brute.inverse * &right));
                prop_assert!((covariance[(i, j)] - expected).abs() < 1e-8 * (1.0 + brute.variance));
                let apart = &left - &right;
                let variance = brute.variance * apart.dot(&(&brute.inverse * &apart));
                let difference = effects.difference(*a, *b).unwrap();
                prop_assert!((difference.u.powi(2) - variance).abs() < 1e-7 * (1.0 + brute.variance));
                prop_assert!((difference.value - apart.dot(&brute.effects)).abs() < 1e-7);
            }
        }
    }

    /// The weights, and spots, by each cell's coefficient in each pair.
    #[test]
    fn variances_follow_the_cells(
        (parts, positions, readings) in connected(2),
        as_read in 0.5..3.0_f64, shared in 0.0..1.0_f64, floor in 0.0..4.0_f64,
    ) {
        let scatter = Scatter { as_read, shared, floor };
        let cells = Cells::gather(parts, &readings, |_| true);
        let components = Components::of(parts, positions, &cells);
        let n = cells.list.len();
        let mut design = DMatrix::zeros(n, parts + positions);
        let mut variance = DVector::zeros(n);
        for (at, cell) in cells.list.iter().enumerate() {
            design.set_row(at, &row(parts, positions, cell.part.index(), cell.position.index()).transpose());
            let spots = cells.spots(cell);
            let share = 1.0 / (spots.len() as f64).powi(2);
            for repeats in spots {
                variance[at] += share * floor.max(as_read / repeats.count() + shared);
            }
        }
        let weight = DMatrix::from_diagonal(&variance.map(|v: f64| 1.0 / v));
        let inverse = pseudo_inverse(design.transpose() * &weight * &design);
        let fit = fit_at(cells, components, &scatter).unwrap();
        let coefficients = |part: usize, position: usize| &weight * &design * (&inverse * row(parts, positions, part, position));
        let pairs = all_pairs(parts, positions);
        for a in &pairs {
            let left = coefficients(a.0.index(), a.1.index());
            let row_a = fit.row(a.0, &[(a.1.index(), 1.0)]).unwrap();
            for b in &pairs {
                let right = coefficients(b.0.index(), b.1.index());
                let row_b = fit.row(b.0, &[(b.1.index(), 1.0)]).unwrap();
                let found = fit.covariance(&row_a, &row_b);
                let both = left.component_mul(&right);
                prop_assert!((found - both.dot(&variance)).abs() < 1e-8);
            }
        }
    }
}
