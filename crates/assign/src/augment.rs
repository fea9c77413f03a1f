//! Least total over a dense block of costs: shortest augmenting paths.
//!
//! Rows take their cheapest column while that is free; every other row is served by a shortest path in reduced
//! costs (Dijkstra over the columns). Column prices start at 0 and only sink, and only on columns in use, so with
//! more columns
//! than rows an unused column keeps the price 0, as a proof needs. O(rows² · columns).
//!
//! # References
//! - H. W. Kuhn, *The Hungarian method for the assignment problem*, Naval Res. Logist. Quart. 2 (1955), and J. Munkres,
//!   *Algorithms for the assignment and transportation problems*, J. SIAM 5 (1957): prices and augmenting paths.
//! - R. Jonker and A. Volgenant, *A shortest augmenting path algorithm for dense and sparse linear
//!   assignment problems*, Computing 38 (1987).
//! - D. F. Crouse, *On implementing 2D rectangular assignment algorithms*, IEEE Trans. Aerosp. Electron. Syst. 52
//!   (2016): the rectangular form.

use crate::watch::Watch;
use crate::weight::Weight;

/// Costs of rows × columns, row after row; [`Weight::ABSENT`] where there is no pair.
pub(crate) struct Block<W> {
    pub(crate) rows: usize,
    pub(crate) columns: usize,
    pub(crate) cells: Vec<W>,
}

/// A cheapest assignment and the prices that prove it: every cost is at least row price + column price, equal on
/// chosen pairs; column prices are at most 0, and 0 on columns not in use.
pub(crate) struct Priced<W> {
    pub(crate) column_of: Vec<usize>,
    pub(crate) row_price: Vec<W>,
    pub(crate) column_price: Vec<W>,
}

const FREE: usize = usize::MAX;

struct Path<W> {
    reach: Vec<W>,
    from: Vec<usize>,
    /// Columns not reached for good yet.
    open: Vec<usize>,
    done: Vec<usize>,
    rows: Vec<usize>,
}

impl<W: Weight> Block<W> {
    /// The cheapest assignment; `None` if not every row can be served, or if it was ended early.
    pub(crate) fn cheapest(&self, watch: &Watch<'_>) -> Option<Priced<W>> {
        let mut row_of = vec![FREE; self.columns];
        let mut priced = Priced {
            column_of: vec![FREE; self.rows],
            row_price: Vec::with_capacity(self.rows),
            column_price: vec![W::ZERO; self.columns],
        };
        for row in 0..self.rows {
            let (column, cost) = self.cheapest_of(row)?;
            priced.row_price.push(cost);
            if row_of[column] == FREE {
                row_of[column] = row;
                priced.column_of[row] = column;
            }
        }
        let mut path = Path {
            reach: vec![W::ABSENT; self.columns],
            from: vec![FREE; self.columns],
            open: Vec::with_capacity(self.columns),
            done: Vec::with_capacity(self.rows),
            rows: Vec::with_capacity(self.rows),
        };
        for row in 0..self.rows {
            if priced.column_of[row] == FREE {
                if !watch.goes_on() {
                    return None;
                }
                self.serve(row, &mut priced, &mut row_of, &mut path)?;
            }
        }
        Some(priced)
    }

    fn row(&self, row: usize) -> &[W] {
        &self.cells[row * self.columns..(row + 1) * self.columns]
    }

    fn cheapest_of(&self, row: usize) -> Option<(usize, W)> {
        let (column, &cost) = self.row(row).iter().enumerate().min_by_key(|&(_, &cost)| cost)?;
        (cost != W::ABSENT).then_some((column, cost))
    }

    fn serve(&self, root: usize, priced: &mut Priced<W>, row_of: &mut [usize], path: &mut Path<W>) -> Option<()> {
        path.reach.fill(W::ABSENT);
        path.done.clear();
        path.rows.clear();
        path.open.clear();
        path.open.extend(0..self.columns);
        let mut row = root;
        let mut length = W::ZERO;
        let last = loop {
            path.rows.push(row);
            let (at, nearest) = self.relax(row, length, priced, row_of, path)?;
            length = nearest;
            let column = path.open.swap_remove(at);
            if row_of[column] == FREE {
                break column;
            }
            path.done.push(column);
            row = row_of[column];
        };
        for &column in &path.done {
            let gain = length.minus(path.reach[column]);
            priced.column_price[column] = priced.column_price[column].minus(gain);
            let row = row_of[column];
            priced.row_price[row] = priced.row_price[row].plus(gain);
        }
        priced.row_price[root] = priced.row_price[root].plus(length);
        let mut column = last;
        loop {
            let row = path.from[column];
            row_of[column] = row;
            std::mem::swap(&mut priced.column_of[row], &mut column);
            if row == root {
                return Some(());
            }
        }
    }

    /// Lengthens the paths by a row and gives the nearest open column, a free one if there is a choice.
    fn relax(
        &self,
        row: usize,
        length: W,
        priced: &Priced<W>,
        row_of: &[usize],
        path: &mut Path<W>,
    ) -> Option<(usize, W)> {
        let costs = self.row(row);
        let base = length.minus(priced.row_price[row]);
        let mut nearest = W::ABSENT;
        let mut nearest_at = None;
        for (at, &column) in path.open.iter().enumerate() {
            let cost = costs[column];
            if cost != W::ABSENT {
                let reach = base.plus(cost).minus(priced.column_price[column]);
                if reach < path.reach[column] {
                    path.reach[column] = reach;
                    path.from[column] = row;
                }
            }
            let reach = path.reach[column];
            if reach < nearest || (reach == nearest && reach != W::ABSENT && row_of[column] == FREE) {
                nearest = reach;
                nearest_at = Some(at);
            }
        }
        nearest_at.map(|at| (at, nearest))
    }
}
