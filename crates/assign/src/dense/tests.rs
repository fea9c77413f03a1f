//! Column after column and several at once, from good prices and from bad ones: the same total, and prices that prove it.

use super::*;
use crate::first_prices::first_prices;
use crate::rows::cells::{Cells, cells};
use proptest::prelude::*;

/// What is found by both kinds of search, in the machine's instructions and in the plain ones.
fn totals(cells: &Cells, shares: &[i64]) -> [Option<i64>; 3] {
    let block = cells.block();
    let watch = Watch::unlimited();
    let found = [
        block.solve::<OneByOne<i64>>(shares, &watch),
        block.solve::<Together<i64>>(shares, &watch),
        widely(
            #[inline(always)]
            || block.solve::<Together<i64>>(shares, &watch),
        ),
    ];
    found.map(|priced| priced.map(|priced| cells.total(&priced)))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn prop_every_search_from_any_prices_finds_the_same(cells in cells(), shares in prop::collection::vec(-2000_i64..2000, 60)) {
        let plain = totals(&cells, &[]);
        prop_assert_eq!(plain, [plain[0]; 3]);
        prop_assert_eq!(totals(&cells, &shares[..cells.columns]), plain);
        if let Some(found) = first_prices(&cells) {
            prop_assert_eq!(totals(&cells, &found.into_prices()), plain);
        }
    }
}
