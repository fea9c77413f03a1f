//! Prices to start from, where every column will be used, raised by [`RAISE`].

use super::nearest::RAISE;
use crate::first_prices::{FirstPrices, first_prices, shares_of_columns};
use crate::rows::Rows;

/// Those that a table of its kind is known to have, or the least cost of each column.
pub(super) fn start(rows: &impl Rows, stride: usize) -> Vec<i64> {
    match first_prices(rows) {
        Some(FirstPrices::Ordered(prices)) => prices.into_iter().map(|price| price + RAISE).collect(),
        Some(FirstPrices::Shares(shares)) => least_above(rows, &shares, stride),
        None => least_above(rows, &[], stride),
    }
}

/// The least cost of each column; without what is the row's where costs nearly add up.
pub(super) fn without_sums(rows: &impl Rows, stride: usize) -> Vec<i64> {
    least_above(rows, &shares_of_columns(rows).unwrap_or_default(), stride)
}

/// The least of each column among every `stride`-th row, each row's costs less the least that it has above the columns' shares.
fn least_above(rows: &impl Rows, shares: &[i64], stride: usize) -> Vec<i64> {
    let (height, width) = rows.shape();
    let mut least = vec![i64::MAX; width];
    let mut room = Vec::new();
    for row in (0..height).step_by(stride) {
        let cells = rows.row(row, &mut room);
        // No pair wraps around to more than any cost.
        let above_shares = cells.iter().zip(shares).map(|(cost, share)| cost.wrapping_sub(share + RAISE)).min();
        let of_row = above_shares.filter(|&least| least < 0).map_or(0, |least| least + RAISE);
        for (least, &cost) in least.iter_mut().zip(cells) {
            *least = (*least).min(cost.wrapping_sub(of_row + RAISE));
        }
    }
    let dearest = least.iter().copied().filter(|&least| least < 0).max().unwrap_or(-RAISE);
    let raised = |least: i64| if least < 0 { least } else { dearest } + RAISE + RAISE;
    least.into_iter().map(raised).collect()
}
