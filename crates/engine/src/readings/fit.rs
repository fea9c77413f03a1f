//! Weighted least squares with the parts eliminated first.
//!
//! With weights `w_ij` of the cells, `W_i = Σ_j w_ij`, `p_i = (w_ij / W_i)_j` and `ȳ_i = p_i · y_i`, the part effects are
//! `h_i = ȳ_i - p_i · d`, and what is left for the position effects is
//!
//! ```text
//! N d = Σ_i Σ_j w_ij (y_ij - ȳ_i) e_j,    N = Σ_i (diag(w_i) - w_i w_iᵀ / W_i)
//! ```
//!
//! N is the weighted Laplacian of a connected component: its only null vector is 1, so that adding a multiple of `1 1ᵀ` gives the solution
//! whose position effects sum to zero, and its inverse less the same term is the covariance of those effects. A part with one cell adds
//! nothing to N.

use super::ReduceError;
use super::cells::{Cell, Cells};
use super::components::Components;
use super::rounding::Scatter;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// The inverse variance of each cell: that of a cell with S spots is the sum of its spots' over S².
pub(super) fn weights(cells: &Cells, scatter: &Scatter) -> Vec<f64> {
    let weight = |cell: &Cell| {
        let spots = cells.spots(cell);
        let variance: f64 = spots.iter().map(|repeats| scatter.of_mean(repeats.count())).sum();
        (spots.len() * spots.len()) as f64 / variance
    };
    cells.list.iter().map(weight).collect()
}

/// Effects, and the factors of the reduced normal matrices.
#[derive(Clone, Debug)]
pub(super) struct Solution {
    /// `h_i`; 0 for a part without a reading.
    pub(super) part: Vec<f64>,
    /// `d_j`, summing to zero over the positions of a component; 0 for a position without a reading.
    pub(super) position: Vec<f64>,
    /// `W_i`.
    pub(super) part_weight: Vec<f64>,
    factors: Vec<Grounded>,
}

/// N + level/p · 1 1ᵀ, factored.
#[derive(Clone, Debug)]
struct Grounded {
    factor: Cholesky<f64, Dyn>,
    level: f64,
}

impl Grounded {
    fn of(mut normal: DMatrix<f64>) -> Option<Self> {
        let size = normal.nrows() as f64;
        let mean = normal.trace() / size;
        let level = if mean > 0.0 { mean } else { 1.0 };
        normal.add_scalar_mut(level / size);
        let factor = Cholesky::new(normal)?;
        Some(Self { factor, level })
    }

    /// The pseudo-inverse of N.
    fn covariance(&self) -> DMatrix<f64> {
        let mut inverse = self.factor.inverse();
        inverse.add_scalar_mut(-1.0 / (self.level * inverse.nrows() as f64));
        inverse
    }
}

/// Solves for the effects. O(cells · cells of a part + Σ positions³).
pub(super) fn solve(cells: &Cells, components: &Components, weight: &[f64]) -> Result<Solution, ReduceError> {
    let mut normal = zero_matrices(components);
    let mut right: Vec<DVector<f64>> = normal.iter().map(|matrix| DVector::zeros(matrix.nrows())).collect();
    let parts = components.of_part.len();
    let mut part = vec![0.0; parts];
    let mut part_weight = vec![0.0; parts];
    for i in 0..parts {
        let Some(id) = components.of_part[i] else {
            continue;
        };
        let own = cells.of_part(i);
        let origin = cells.list[own.start].value;
        let (mut sum, mut total) = (0.0, 0.0);
        for at in own.clone() {
            sum += weight[at] * (cells.list[at].value - origin);
            total += weight[at];
        }
        part_weight[i] = total;
        part[i] = origin + sum / total;
        if own.len() == 1 {
            continue;
        }
        add_part(cells, components, own.clone(), &mut normal[id.index()], |at| weight[at]);
        for at in own {
            let row = components.row[cells.list[at].position.index()];
            right[id.index()][row] += weight[at] * (cells.list[at].value - part[i]);
        }
    }
    let factors = normal
        .into_iter()
        .map(|matrix| Grounded::of(matrix).ok_or(ReduceError::IllConditioned))
        .collect::<Result<Vec<_>, _>>()?;
    let position = position_effects(components, &factors, right);
    for (at, cell) in cells.list.iter().enumerate() {
        let i = cell.part.index();
        part[i] -= weight[at] / part_weight[i] * position[cell.position.index()];
    }
    Ok(Solution { part, position, part_weight, factors })
}

fn zero_matrices(components: &Components) -> Vec<DMatrix<f64>> {
    components
        .list
        .iter()
        .map(|component| DMatrix::zeros(component.positions.len(), component.positions.len()))
        .collect()
}

/// Adds `diag(v) - v vᵀ / V` of one part's cells.
fn add_part(
    cells: &Cells,
    components: &Components,
    own: std::ops::Range<usize>,
    normal: &mut DMatrix<f64>,
    value: impl Fn(usize) -> f64,
) {
    let row = |at: usize| components.row[cells.list[at].position.index()];
    let total: f64 = own.clone().map(&value).sum();
    for a in own.clone() {
        normal[(row(a), row(a))] += value(a);
        for b in own.clone() {
            normal[(row(a), row(b))] -= value(a) * value(b) / total;
        }
    }
}

fn position_effects(components: &Components, factors: &[Grounded], right: Vec<DVector<f64>>) -> Vec<f64> {
    let mut position = vec![0.0; components.of_position.len()];
    for ((component, grounded), mut side) in components.list.iter().zip(factors).zip(right) {
        grounded.factor.solve_mut(&mut side);
        for (id, effect) in component.positions.iter().zip(side.iter()) {
            position[id.index()] = *effect;
        }
    }
    position
}

impl Solution {
    /// A cell's value less what the effects say.
    pub(super) fn misfit_of(&self, cells: &Cells, at: usize) -> f64 {
        let cell = &cells.list[at];
        cell.value - self.part[cell.part.index()] - self.position[cell.position.index()]
    }

    /// Weighted sum of squares of the cells about their fitted values.
    pub(super) fn misfit(&self, cells: &Cells, weight: &[f64]) -> f64 {
        (0..cells.list.len()).map(|at| weight[at] * self.misfit_of(cells, at).powi(2)).sum()
    }
}

impl Solution {
    /// Covariance in nm² of the position effects of each component. O(Σ positions³).
    pub(super) fn covariances(&self) -> Vec<DMatrix<f64>> {
        self.factors.iter().map(Grounded::covariance).collect()
    }
}
