//! Against the plain method, on tables so small that every pair is soon looked at, with as few pairs kept as can be.

use super::{Plan, cheapest};
use crate::rows::cells::{ABSENT, Cells, cells};
use crate::watch::Watch;
use proptest::prelude::*;

impl Cells {
    fn agrees(&self, plan: Plan) {
        let found = cheapest(self, plan, &Watch::unlimited());
        let plain = self.block().cheapest(&Watch::unlimited());
        let totals = [plain, found].map(|priced| priced.map(|priced| self.total(&priced)));
        assert_eq!(totals[0], totals[1]);
    }
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
