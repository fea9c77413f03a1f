//! Linear combinations of effects, and their variances and covariances.

use super::cells::Cells;
use super::components::Components;
use super::fit::{Covariance, Solution, Weights};
use super::{ComponentId, PartId};

/// A predicted value as a row of the design: the part's own mean, plus these multiples of position effects.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub(super) component: ComponentId,
    part: PartId,
    /// Row in the component, factor.
    terms: Vec<(usize, f64)>,
}

/// A variance or covariance in nm², and the part of it that comes from the estimated scatter.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Shared {
    pub(super) total: f64,
    pub(super) from_scatter: f64,
}

/// The finished fit.
#[derive(Clone, Debug)]
pub(super) struct Fit {
    pub(super) cells: Cells,
    pub(super) components: Components,
    pub(super) weights: Weights,
    pub(super) solution: Solution,
    pub(super) covariance: Vec<Covariance>,
    /// 0 where no scatter is known at all, so that every variance is 0; otherwise 1.
    pub(super) scale: f64,
}

impl Fit {
    /// The row of a part in a component, with the position part given as multiples of position effects.
    pub(super) fn row(&self, part: PartId, position: &[(usize, f64)]) -> Option<Row> {
        let component = self.components.of_part[part.index()]?;
        let own = self.cells.of_part(part.index());
        let mut terms = Vec::with_capacity(own.len() + position.len());
        terms.extend_from_slice(position);
        for at in own {
            terms.push((self.row_of(at), -self.mean_share(at)));
        }
        Some(Row { component, part, terms })
    }

    fn row_of(&self, cell: usize) -> usize {
        self.components.row[self.cells.list[cell].position.index()]
    }

    /// The share of a cell in its part's mean, `w_ij` / `W_i`.
    fn mean_share(&self, cell: usize) -> f64 {
        let part = self.cells.list[cell].part.index();
        self.weights.weight[cell] / self.solution.part_weight[part]
    }

    /// Covariance of two rows; 0 between components.
    pub(super) fn covariance(&self, a: &Row, b: &Row) -> Shared {
        if a.component != b.component {
            return Shared::default();
        }
        let covariance = &self.covariance[a.component.index()];
        let mut out = Shared::default();
        for &(row, left) in &a.terms {
            for &(column, right) in &b.terms {
                out.total += left * right * covariance.total[(row, column)];
                out.from_scatter += left * right * covariance.from_scatter[(row, column)];
            }
        }
        let (weight_a, weight_b) = (self.part_weight(a), self.part_weight(b));
        out.from_scatter += self.own_cross(a, b) / weight_a + self.own_cross(b, a) / weight_b;
        if a.part == b.part {
            out.total += 1.0 / weight_a;
            let estimated: f64 =
                self.cells.of_part(a.part.index()).map(|at| self.weights.weight[at] * self.weights.share[at]).sum();
            out.from_scatter += estimated / (weight_a * weight_a);
        }
        out.total *= self.scale;
        out.from_scatter *= self.scale;
        out
    }

    fn part_weight(&self, row: &Row) -> f64 {
        self.solution.part_weight[row.part.index()]
    }

    /// What the cells of a's part have in common, in their estimated part, with the position effects of b. It vanishes where every
    /// cell's variance is estimated to the same share.
    fn own_cross(&self, a: &Row, b: &Row) -> f64 {
        let own = self.cells.of_part(a.part.index());
        if own.len() == 1 {
            return 0.0;
        }
        let total = &self.covariance[a.component.index()].total;
        let (mut direct, mut mean, mut estimated) = (0.0, 0.0, 0.0);
        for at in own {
            let row = self.row_of(at);
            let effect: f64 = b.terms.iter().map(|&(column, factor)| factor * total[(row, column)]).sum();
            let weight = self.weights.weight[at] * self.weights.share[at];
            direct += weight * effect;
            mean += self.mean_share(at) * effect;
            estimated += weight;
        }
        direct - estimated * mean
    }
}
