//! Least totals of square tables beside two other libraries: `lapjv` (Jonker & Volgenant 1987) and `pathfinding` (Kuhn 1955,
//! Munkres 1957), integer for integer.

use lapjv::{Matrix, lapjv};
use pairwright_assign::{Choice, Criterion, Item, Measure, Outcome, Problem, Sense, Shape, Table, solve};
use pathfinding::prelude::{Matrix as Weights, kuhn_munkres_min};
use proptest::prelude::*;

fn table(size: usize, cells: &[i64]) -> Table {
    let cells: Vec<Option<i64>> = cells.iter().copied().map(Some).collect();
    Table::from_cells(Shape { slots: size, items: size }, &cells).expect("small values")
}

fn ours(table: &Table) -> i128 {
    let criterion = Criterion { table, measure: Measure::Total, sense: Sense::Least, slack: 0 };
    match solve(&Problem::new(vec![criterion], vec![]).expect("one table")) {
        Outcome::Proven(solution) => solution.values[0],
        other => panic!("a total is exact: {other:?}"),
    }
}

/// Its costs are floats, which hold these whole numbers exactly; its choice is reckoned again in whole numbers.
fn by_lapjv(table: &Table, size: usize, cells: &[i64]) -> i128 {
    let costs = Matrix::from_shape_vec((size, size), cells.iter().map(|&cell| cell as f64).collect());
    let (item_of, _) = lapjv(&costs.expect("n times n cells")).expect("a square matrix of finite costs");
    let items = item_of.into_iter().map(|item| Item::new(u32::try_from(item).expect("a small table"))).collect();
    let choice = Choice::new(items);
    pairwright_proof::evaluate(Measure::Total, table, &choice).expect("a choice of allowed pairs")
}

fn by_pathfinding(size: usize, cells: &[i64]) -> i128 {
    let weights = Weights::from_vec(size, size, cells.to_vec()).expect("n times n cells");
    kuhn_munkres_min(&weights).0.into()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn prop_three_libraries_have_the_same_least_total(
        (size, cells) in (1_usize..=40, prop_oneof![Just(3_i64), Just(100), Just(1 << 40)]).prop_flat_map(
            |(size, range)| (Just(size), prop::collection::vec(-range..=range, size * size)),
        ),
    ) {
        let table = table(size, &cells);
        let least = ours(&table);
        prop_assert_eq!(by_lapjv(&table, size, &cells), least);
        prop_assert_eq!(by_pathfinding(size, &cells), least);
    }
}

#[test]
fn larger_tables_too() {
    // By `SplitMix64` (Steele, Lea and Flood 2014; constants from memory).
    let mut state = 11_u64;
    for (size, range) in [(150, 1000_u64), (200, 5), (250, 1 << 30)] {
        let cells: Vec<i64> = (0..size * size)
            .map(|_| {
                state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
                let mut mixed = state;
                mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
                mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
                i64::try_from((mixed ^ (mixed >> 31)) % range).expect("a small number")
            })
            .collect();
        let table = table(size, &cells);
        let least = ours(&table);
        assert_eq!(by_lapjv(&table, size, &cells), least, "{size}");
        assert_eq!(by_pathfinding(size, &cells), least, "{size}");
    }
}
