//! Normal parts of one or more numbers, mean and scatter as doubtful as the stock leaves them.

use super::Numbers;
use crate::statistics::{NormalDraws, Summary};

/// Up to so many degrees of freedom chi-squared is drawn as a sum of squares.
const SUMMED: usize = 200;

/// What a stock says of a joint normal distribution.
#[derive(Clone, Debug)]
pub(super) struct Stock {
    count: usize,
    means: Vec<f64>,
    /// L with `L Lᵀ` the sums of squares and products about the means; rows.
    root: Vec<Vec<f64>>,
}

/// A joint normal distribution that the stock leaves possible: `mean + root · z`.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Joint {
    mean: Vec<f64>,
    root: Vec<Vec<f64>>,
}

/// A normal distribution of one number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Normal {
    pub(super) mean: f64,
    pub(super) deviation: f64,
}

impl Stock {
    pub(super) fn new(parts: &Numbers, summaries: &[Summary]) -> Self {
        let means: Vec<f64> = summaries.iter().map(|summary| summary.mean).collect();
        let product = |one: usize, other: usize| {
            parts.parts().map(|part| (part[one] - means[one]) * (part[other] - means[other])).sum::<f64>()
        };
        let products: Vec<Vec<f64>> =
            (0..means.len()).map(|one| (0..means.len()).map(|other| product(one, other)).collect()).collect();
        Self { count: parts.len(), root: lower_root(&products), means }
    }

    /// Mean and scatter as n parts of d numbers leave them open: Σ from the inverse Wishart distribution with the stock's sums of
    /// products and n + d − 2 degrees of freedom, μ around the stock's mean with Σ/n.
    ///
    /// So much freedom leaves every number by itself with what it would have alone, `σ² = (n−1)s²/χ²` with n − 1 degrees, and one
    /// further part follows Student's t. With Bartlett's triangle A (square roots of χ² on the diagonal, normal draws below it), `Σ = (L A⁻ᵀ)(L A⁻ᵀ)ᵀ`.
    ///
    /// # References
    /// Gelman et al., Bayesian Data Analysis, 3rd ed., sections 3.2 and 3.6; Bartlett, Proc. R. Soc. Edinburgh 53 (1933) 260-283 (citations
    /// from memory).
    pub(super) fn drawn(&self, draws: &mut NormalDraws) -> Joint {
        let width = self.means.len();
        let freedom = self.count + width - 2;
        let mut triangle = vec![vec![0.0; width]; width];
        for row in 0..width {
            triangle[row][row] = chi_squared(freedom - row, draws).sqrt();
            for cell in &mut triangle[row][..row] {
                *cell = draws.next_draw();
            }
        }
        let root = self.root.iter().map(|row| over_transposed(row, &triangle)).collect();
        let centred = Joint { mean: self.means.clone(), root };
        let share = (self.count as f64).sqrt();
        let z: Vec<f64> = (0..width).map(|_| draws.next_draw() / share).collect();
        Joint { mean: centred.at(&z), root: centred.root }
    }
}

impl Joint {
    /// A further part.
    pub(super) fn part(&self, draws: &mut NormalDraws) -> Vec<f64> {
        let z: Vec<f64> = self.mean.iter().map(|_| draws.next_draw()).collect();
        self.at(&z)
    }

    /// The first number by itself.
    pub(super) fn first(&self) -> Normal {
        let variance: f64 = self.root[0].iter().map(|cell| cell * cell).sum();
        Normal { mean: self.mean[0], deviation: variance.sqrt() }
    }

    fn at(&self, z: &[f64]) -> Vec<f64> {
        let number = |(mean, row): (&f64, &Vec<f64>)| mean + row.iter().zip(z).map(|(cell, z)| cell * z).sum::<f64>();
        self.mean.iter().zip(&self.root).map(number).collect()
    }
}

/// L with `L Lᵀ = matrix`, lower; a number that says nothing new (it does not vary, or follows from those before it) has no column of its own.
fn lower_root(matrix: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let width = matrix.len();
    let mut root = vec![vec![0.0; width]; width];
    for column in 0..width {
        let taken: f64 = root[column][..column].iter().map(|cell| cell * cell).sum();
        let left = matrix[column][column] - taken;
        if left <= 1e-12 * matrix[column][column] {
            continue;
        }
        root[column][column] = left.sqrt();
        for row in column + 1..width {
            let taken: f64 = (0..column).map(|at| root[row][at] * root[column][at]).sum();
            root[row][column] = (matrix[row][column] - taken) / root[column][column];
        }
    }
    root
}

/// `row · A⁻ᵀ`, that is x with `A x = rowᵀ` for the lower triangle A.
fn over_transposed(row: &[f64], triangle: &[Vec<f64>]) -> Vec<f64> {
    let mut solved: Vec<f64> = Vec::with_capacity(row.len());
    for (at, value) in row.iter().enumerate() {
        let taken: f64 = triangle[at].iter().zip(&solved).map(|(cell, known)| cell * known).sum();
        solved.push((value - taken) / triangle[at][at]);
    }
    solved
}

/// A draw of chi-squared: the sum of squares, or beyond 200 degrees of freedom `ν(1 − 2/(9ν) + z√(2/(9ν)))³`.
///
/// # References
/// Wilson and Hilferty, Proc. Natl. Acad. Sci. 17 (1931) 684-688 (citation from memory).
fn chi_squared(dof: usize, draws: &mut NormalDraws) -> f64 {
    if dof <= SUMMED {
        let square = |z: f64| z * z;
        return (0..dof).map(|_| square(draws.next_draw())).sum();
    }
    let part = 2.0 / (9.0 * dof as f64);
    dof as f64 * (1.0 - part + draws.next_draw() * part.sqrt()).powi(3)
}
