//! Least total over a block of costs that all stand at hand: row reduction, then shortest augmenting paths.
//!
//! 1. **Start** (`start`): with as many rows as columns each column's least cost is its price, and the row that has it takes it;
//!    where first prices are given, the least of what rows pay above them. Otherwise prices start at zero.
//! 2. **Row reduction** (`reduce`), a few times: a row takes its best column from whoever has it.
//! 3. **Shortest paths** (`paths`) in reduced costs (Dijkstra over the columns), one for each row left; where there are many
//!    columns several are looked at at once, in the widest instructions that the machine has.
//!
//! Prices only sink, and only on columns in use from then on, so with more columns than rows an unused column keeps the
//! price 0, as a proof needs. O(rows² · columns).
//!
//! # References
//! - H. W. Kuhn, *The Hungarian method for the assignment problem*, Naval Res. Logist. Quart. 2 (1955), and J. Munkres,
//!   *Algorithms for the assignment and transportation problems*, J. SIAM 5 (1957): prices and augmenting paths.
//! - R. Jonker and A. Volgenant, *A shortest augmenting path algorithm for dense and sparse linear
//!   assignment problems*, Computing 38 (1987): the start and the row reduction.
//! - D. F. Crouse, *On implementing 2D rectangular assignment algorithms*, IEEE Trans. Aerosp. Electron. Syst. 52
//!   (2016): the rectangular form.

#![expect(clippy::inline_always, reason = "only what is inlined is compiled for wide vector instructions")]

mod paths;
mod reduce;
mod start;

use crate::vectors::widely;
use crate::watch::Watch;
use crate::weight::Weight;
use paths::{OneByOne, Paths, Reached, Together};

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

/// No row, or no column.
const FREE: usize = usize::MAX;
/// From so many columns on several are looked at at once.
const WIDE: usize = 40;
/// Rounds of row reduction.
const ROUNDS: usize = 4;

/// Prices, lengths of paths and their differences are at most so many times the largest cost.
///
/// Row reduction takes at most twenty steps a row, each of which sets a price at most two costs below another one; the prices that
/// paths leave differ by at most 4n + 4 costs, and lengths by as much.
pub(crate) fn span(slots: usize) -> u64 {
    64 * (slots as u64 + 2)
}

/// Who has what, and the prices of columns: no pair of a matched row costs less, its column's price taken off, than its own.
struct State<'b, W> {
    block: &'b Block<W>,
    price: Vec<W>,
    row_of: Vec<usize>,
    column_of: Vec<usize>,
}

impl<W: Weight> Block<W> {
    /// The cheapest assignment; `None` if not every row can be served, or if it was ended early.
    pub(crate) fn cheapest(&self, watch: &Watch<'_>) -> Option<Priced<W>> {
        self.cheapest_from(&[], watch)
    }

    /// The same, found sooner where costs nearly are these numbers of the columns and others of the rows.
    pub(crate) fn cheapest_from(&self, shares: &[W], watch: &Watch<'_>) -> Option<Priced<W>> {
        if self.columns < WIDE {
            return self.solve::<OneByOne<W>>(shares, watch);
        }
        widely(
            #[inline(always)]
            || self.solve::<Together<W>>(shares, watch),
        )
    }

    #[inline(always)]
    fn solve<R: Reached<W>>(&self, shares: &[W], watch: &Watch<'_>) -> Option<Priced<W>> {
        if self.rows > self.columns {
            return None;
        }
        let mut state = State {
            block: self,
            price: vec![W::ZERO; self.columns],
            row_of: vec![FREE; self.columns],
            column_of: vec![FREE; self.rows],
        };
        let is_square = self.rows == self.columns;
        let mut free = if is_square { state.by_columns(shares)? } else { (0..self.rows).collect() };
        for _ in 0..ROUNDS {
            state.reduce(&mut free)?;
        }
        if !free.is_empty() {
            let mut paths = Paths::<W, R>::new(self.rows, self.columns);
            for row in free {
                if !watch.goes_on() {
                    return None;
                }
                paths.serve(&mut state, row)?;
            }
        }
        Some(state.priced(is_square))
    }

    #[inline(always)]
    fn row(&self, row: usize) -> &[W] {
        &self.cells[row * self.columns..(row + 1) * self.columns]
    }
}

impl<W: Weight> State<'_, W> {
    #[inline(always)]
    fn join(&mut self, row: usize, column: usize) {
        self.row_of[column] = row;
        self.column_of[row] = column;
    }

    /// What a row pays for a column beside the column's price.
    #[inline(always)]
    fn reduced(&self, row: usize, column: usize) -> W {
        self.block.row(row)[column].minus(self.price[column])
    }

    /// With every row served. Where every column is used one number more for all rows and less for all columns changes
    /// nothing, and no column's price is above 0 then.
    #[inline(always)]
    fn priced(mut self, all_used: bool) -> Priced<W> {
        let most = if all_used { self.price.iter().copied().max().unwrap_or(W::ZERO) } else { W::ZERO };
        for price in &mut self.price {
            *price = price.minus(most);
        }
        let row_price = (0..self.block.rows).map(|row| self.reduced(row, self.column_of[row])).collect();
        Priced { column_of: self.column_of, row_price, column_price: self.price }
    }
}

#[cfg(test)]
mod tests;
