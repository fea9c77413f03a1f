//! Linear combinations of effects, and their variances and covariances.

use super::cells::{Cell, Cells};
use super::components::Components;
use super::fit::Solution;
use super::{ComponentId, PartId};
use nalgebra::DMatrix;

/// A predicted value as a row of the design: the part's own mean, plus these multiples of position effects.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub(super) component: ComponentId,
    part: PartId,
    /// Row in the component, factor.
    terms: Vec<(usize, f64)>,
}

/// The finished fit.
#[derive(Clone, Debug)]
pub(super) struct Fit {
    pub(super) cells: Cells,
    pub(super) components: Components,
    /// The inverse variance of each cell in 1/nm² (or, where no scatter is known, its repeats).
    pub(super) weight: Vec<f64>,
    pub(super) solution: Solution,
    /// Covariance in nm² of the position effects of each component.
    pub(super) covariance: Vec<DMatrix<f64>>,
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
        self.weight[cell] / self.solution.part_weight[part]
    }

    /// Covariance of two rows in nm²; 0 between components.
    pub(super) fn covariance(&self, a: &Row, b: &Row) -> f64 {
        self.scale * self.unscaled(a, b)
    }

    fn unscaled(&self, a: &Row, b: &Row) -> f64 {
        if a.component != b.component {
            return 0.0;
        }
        let covariance = &self.covariance[a.component.index()];
        let mut sum = 0.0;
        for &(row, left) in &a.terms {
            for &(column, right) in &b.terms {
                sum += left * right * covariance[(row, column)];
            }
        }
        if a.part == b.part {
            sum += 1.0 / self.solution.part_weight[a.part.index()];
        }
        sum
    }

    /// 1 less the leverage of a cell: 0 where nothing else speaks to it, near 1 where everything else does.
    pub(super) fn freedom(&self, cell: usize) -> f64 {
        let Cell { part, position, .. } = self.cells.list[cell];
        if self.cells.of_part(part.index()).len() == 1 {
            return 0.0;
        }
        let row = self.row(part, &[(self.components.row[position.index()], 1.0)]);
        let leverage = row.map_or(1.0, |row| self.weight[cell] * self.unscaled(&row, &row));
        (1.0 - leverage).clamp(0.0, 1.0)
    }
}
