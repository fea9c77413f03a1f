//! Against the plain method, on tables so small that every pair is soon looked at, with as few pairs kept as can be.

use super::{Plan, cheapest};
use crate::dense::{Block, Priced};
use crate::rows::Rows;
use crate::watch::Watch;
use crate::weight::Weight;
use pairwright_proof::Table;
use proptest::prelude::*;

const ABSENT: i64 = Table::FORBIDDEN;

#[derive(Clone, Debug)]
struct Cells {
    columns: usize,
    cells: Vec<i64>,
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
    fn plain(&self) -> Option<Priced<i64>> {
        let cells = self.cells.iter().map(|&cost| if cost == ABSENT { i64::ABSENT } else { cost }).collect();
        Block { rows: self.shape().0, columns: self.columns, cells }.cheapest(&Watch::unlimited())
    }

    /// The total, after every rule that prices have to keep.
    fn total(&self, priced: &Priced<i64>) -> i64 {
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

    fn agrees(&self, plan: Plan) {
        let found = cheapest(self, plan, &Watch::unlimited());
        let totals = [self.plain(), found].map(|priced| priced.map(|priced| self.total(&priced)));
        assert_eq!(totals[0], totals[1]);
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

fn cells() -> impl Strategy<Value = Cells> {
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

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn prop_few_pairs_come_to_the_same_as_all(
        cells in cells(),
        pairs in 1_usize..6,
        stride in 1_usize..5,
        rough in 0_usize..4,
    ) {
        cells.agrees(Plan { pairs, stride, rough });
    }
}

#[test]
fn equal_costs_everywhere_are_no_trouble() {
    for (rows, columns) in [(60, 60), (60, 70)] {
        Cells { columns, cells: vec![7; rows * columns] }.agrees(Plan { pairs: 2, stride: 1, rough: 2 });
    }
}

#[test]
fn rows_that_want_the_same_few_columns_look_farther() {
    // The cheaper a column the earlier it comes, for every row alike: each row has to be read until the last column.
    let columns = 150;
    let cells = (0..columns * columns).map(|at| i64::try_from(at % columns).unwrap()).collect();
    Cells { columns, cells }.agrees(Plan { pairs: 1, stride: 1, rough: 1 });
}

#[test]
fn without_enough_columns_there_is_nothing() {
    // Two rows have but one column between them.
    let cells = vec![1, ABSENT, ABSENT, 2, ABSENT, ABSENT, 3, 4, 5];
    Cells { columns: 3, cells }.agrees(Plan { pairs: 1, stride: 1, rough: 1 });
    Cells { columns: 1, cells: vec![1, 2] }.agrees(Plan { pairs: 1, stride: 1, rough: 1 });
}
