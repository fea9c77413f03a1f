//! Prices of columns to start from, for tables of two common kinds: where every column will be used any prices will do, and good ones
//! save most of the work.
//!
//! - `order`: squared differences, and all other tables whose rows and columns can be put in an order in which a crossing never pays;
//! - `shares`: costs that nearly add up, to something of the row and something of the column.
//!
//! Both look at a few changes of columns of a few rows first, which takes next to nothing.

mod changes;
mod order;
mod shares;

use crate::rows::Rows;

pub(crate) use shares::{nearly_add_up, shares_of_columns};

/// Prices for a table of one of these kinds, as far as can be seen; `None` for other ones.
pub(crate) fn first_prices(rows: &impl Rows) -> Option<FirstPrices> {
    let ordered = || order::prices(rows).map(FirstPrices::Ordered);
    ordered().or_else(|| shares_of_columns(rows).map(FirstPrices::Shares))
}

/// What the prices come from.
pub(crate) enum FirstPrices {
    /// By an order, whose pairs are all but the cheapest of their rows.
    Ordered(Vec<i64>),
    /// By the columns' shares, which the rest of the costs still lies above or below.
    Shares(Vec<i64>),
}

impl FirstPrices {
    pub(crate) fn into_prices(self) -> Vec<i64> {
        let (Self::Ordered(prices) | Self::Shares(prices)) = self;
        prices
    }
}

#[cfg(test)]
mod tests;
