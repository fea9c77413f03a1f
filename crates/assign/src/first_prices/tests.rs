//! Both kinds of tables are known for what they are, and others are not taken for them.

use super::*;
use crate::rows::cells::{ABSENT, Cells};

const SIZE: usize = 60;

fn table(cost: impl Fn(i64, i64) -> i64) -> Cells {
    let number = |at: usize| i64::try_from(at).unwrap();
    let cells = (0..SIZE * SIZE).map(|at| cost(number(at / SIZE), number(at % SIZE))).collect();
    Cells { columns: SIZE, cells }
}

/// Anything between 0 and 999 (splitmix64, constants from memory).
fn noise(row: i64, column: i64) -> i64 {
    let seed = u64::try_from(row * 64 + column + 1).unwrap().wrapping_mul(0x9E37_79B9_7F4A_7C15);
    let mixed = (seed ^ (seed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    i64::try_from((mixed ^ (mixed >> 31)) % 1000).unwrap()
}

fn of_row(row: i64) -> i64 {
    10 * noise(row, 1)
}

fn of_column(column: i64) -> i64 {
    100 * noise(2, column)
}

#[test]
fn columns_have_the_shares_that_costs_add_up_from() {
    for gone in [0, 400] {
        let is_gone = |row: i64, column: i64| noise(column, row) < gone;
        let cost = |row, column| of_row(row) + of_column(column) + noise(row, column) / 20;
        let cells = table(|row, column| if is_gone(row, column) { ABSENT } else { cost(row, column) });
        let Some(FirstPrices::Shares(shares)) = first_prices(&cells) else {
            panic!("it nearly adds up, {gone} of 1000 gone")
        };
        let apart: Vec<i64> = (0..).zip(&shares).map(|(column, share)| share - of_column(column)).collect();
        let (least, most) = (apart.iter().min().unwrap(), apart.iter().max().unwrap());
        // Averages of numbers from 0 to 49 over 60 rows or of those that are left.
        assert!(most - least <= if gone == 0 { 12 } else { 20 }, "{gone}: {least} to {most}");
    }
}

#[test]
fn squared_differences_are_in_order() {
    let cells = table(|row, column| (of_row(row) - of_column(column) / 10).pow(2));
    let Some(FirstPrices::Ordered(prices)) = first_prices(&cells) else { panic!("there is an order") };
    // By these prices the pairs of the order are the cheapest of their rows.
    let ascending = |of: fn(i64) -> i64| {
        let mut places: Vec<i64> = (0..60).collect();
        places.sort_by_key(|&place| of(place));
        places
    };
    for (row, column) in ascending(of_row).into_iter().zip(ascending(of_column)) {
        let reduced = |column: usize| cells.cells[usize::try_from(row).unwrap() * SIZE + column] - prices[column];
        let least = (0..SIZE).map(reduced).min();
        assert_eq!(Some(reduced(usize::try_from(column).unwrap())), least, "row {row}");
    }
}

#[test]
fn other_tables_are_taken_for_neither() {
    assert!(first_prices(&table(noise)).is_none());
    assert!(first_prices(&table(|row, column| noise(row, column) % 101)).is_none());
}

#[test]
fn what_is_missing_does_not_hurt() {
    let only =
        |keep: fn(i64, i64) -> bool| table(move |row, column| if keep(row, column) { row + column } else { ABSENT });
    for cells in
        [only(|_, _| false), only(|row, _| row > 0), only(|_, column| column > 0), only(|row, column| row == column)]
    {
        // Good prices or none: it must only come to an end.
        let found = first_prices(&cells);
        assert!(found.is_none_or(|found| found.into_prices().len() == SIZE));
    }
    assert!(
        first_prices(&Cells { columns: 1, cells: vec![5] })
            .is_none_or(|found| matches!(found, FirstPrices::Ordered(_)))
    );
}

#[test]
fn costs_that_are_too_large_to_be_summed_have_no_shares() {
    let cells = |unit: i64| {
        let cells =
            (0..40 * 5000_i64).map(|at| (at / 5000) * 9 * unit + (at % 5000) * unit + noise(at, 0) % 7).collect();
        Cells { columns: 5000, cells }
    };
    assert!(shares_of_columns(&cells(1 << 20)).is_some());
    assert!(shares_of_columns(&cells(1 << 45)).is_none());
}
