//! For tests: costs that stand in memory, in families, and the rules that prices have to keep.

use super::Rows;
use crate::dense::{Block, Priced};
use crate::weight::Weight;
use pairwright_proof::Table;
use proptest::prelude::*;

pub(crate) const ABSENT: i64 = Table::FORBIDDEN;

#[derive(Clone, Debug)]
pub(crate) struct Cells {
    pub(crate) columns: usize,
    pub(crate) cells: Vec<i64>,
}

impl Rows for Cells {
    fn shape(&self) -> (usize, usize) {
        (self.cells.len() / self.columns, self.columns)
    }

    fn row<'a>(&'a self, row: usize, _: &'a mut Vec<i64>) -> &'a [i64] {
        &self.cells[row * self.columns..(row + 1) * self.columns]
    }

    fn are_small(&self) -> bool {
        true
    }
}

impl Cells {
    pub(crate) fn block(&self) -> Block<i64> {
        let cells = self.cells.iter().map(|&cost| if cost == ABSENT { i64::ABSENT } else { cost }).collect();
        Block { rows: self.shape().0, columns: self.columns, cells }
    }

    /// The total, after every rule that prices have to keep.
    pub(crate) fn total(&self, priced: &Priced<i64>) -> i64 {
        let mut used = vec![false; self.columns];
        let mut total = 0;
        for (row, (&column, &price)) in priced.column_of.iter().zip(&priced.row_price).enumerate() {
            let cells = self.row(row, &mut Vec::new()).to_vec();
            assert!(!std::mem::replace(&mut used[column], true), "column {column} has two rows");
            assert_ne!(cells[column], ABSENT);
            assert_eq!(cells[column], price + priced.column_price[column]);
            total += cells[column];
            for (cost, column_price) in cells.iter().zip(&priced.column_price) {
                assert!(*cost == ABSENT || *cost >= price + column_price);
            }
        }
        for (price, used) in priced.column_price.iter().zip(used) {
            assert!(*price <= 0 && (used || *price == 0));
        }
        total
    }
}

/// Cells of a family of tables, `numbers` anything.
fn cell(family: u8, row: usize, column: usize, numbers: &[i64]) -> i64 {
    let at = |place: usize| numbers[place % numbers.len()];
    let (of_row, of_column, own) = (at(3 * row), at(5 * column + 1), at(7 * row + 11 * column + row * column));
    match family {
        0 => own,
        1 => own.rem_euclid(3),
        2 => (of_row - of_column) * (of_row - of_column),
        3 => of_row + of_column + own.rem_euclid(5),
        _ => (of_row - of_column).abs().isqrt() + (at(row) - at(column)).abs(),
    }
}

pub(crate) fn cells() -> impl Strategy<Value = Cells> {
    let shape = (1_usize..24).prop_flat_map(|rows| (Just(rows), prop_oneof![Just(rows), rows..rows + 30]));
    (shape, 0_u8..5, prop::collection::vec(-1000_i64..1000, 40..400), 0_i64..60).prop_map(
        |((rows, columns), family, numbers, gone)| {
            let cell = |at: usize| {
                let (row, column) = (at / columns, at % columns);
                let drawn = numbers[(13 * at + row * row) % numbers.len()].rem_euclid(100);
                if drawn < gone { ABSENT } else { cell(family, row, column, &numbers) }
            };
            Cells { columns, cells: (0..rows * columns).map(cell).collect() }
        },
    )
}
