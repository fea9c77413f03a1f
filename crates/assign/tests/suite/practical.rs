//! Tables as large as a shop has them, 40 slots by 1,000 items: every aim is proven, and the checker accepts the proof.

use pairwright_assign::{Criterion, Evidence, Measure, Outcome, Problem, Sense, Shape, Table, solve_with_proof};
use pairwright_proof::check_proof;

const SHAPE: Shape = Shape { slots: 40, items: 1_000 };

/// `SplitMix64`, so that the tables are the same everywhere.
fn numbers(mut seed: u64) -> impl FnMut(i64) -> i64 {
    move |below| {
        seed = seed.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = seed;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        i64::try_from((mixed ^ (mixed >> 31)) % below.unsigned_abs()).unwrap()
    }
}

/// What any two numbers have to do with each other; a fifth of the pairs is forbidden.
fn uniform() -> Table {
    let mut next = numbers(40);
    Table::from_fn(SHAPE, |_, _| if next(5) == 0 { None } else { Some(next(400_000)) }).unwrap()
}

/// An effect of every slot and of every item, in nanometres.
fn additive() -> Table {
    let mut next = numbers(1_000);
    let slots: Vec<i64> = (0..SHAPE.slots).map(|_| next(400_000)).collect();
    let items: Vec<i64> = (0..SHAPE.items).map(|_| next(400_000)).collect();
    Table::from_fn(SHAPE, |slot, item| Some(slots[slot.index()] + items[item.index()])).unwrap()
}

#[test]
fn every_aim_on_a_table_of_practical_size_is_proven() {
    let target = 500_000;
    let aims = [
        (Measure::Total, Sense::Least),
        (Measure::Total, Sense::Most),
        (Measure::Greatest, Sense::Least),
        (Measure::Least, Sense::Most),
        (Measure::Spread, Sense::Least),
        (Measure::WorstFrom { target }, Sense::Least),
        (Measure::SquaresFrom { target }, Sense::Least),
        (Measure::SquaresAboutMean, Sense::Least),
    ];
    for (name, table) in [("uniform", uniform()), ("additive", additive())] {
        for (measure, sense) in aims {
            let problem =
                Problem::new(vec![Criterion { table: &table, measure, sense, slack: 0 }], Vec::new()).unwrap();
            let (Outcome::Proven(best), Evidence::Proof(proof)) = solve_with_proof(&problem) else {
                panic!("{name}, {measure:?} {sense:?} is not proven")
            };
            let checked = check_proof(&problem.statement(), &best.choice, &best.values, &proof);
            assert_eq!(checked.map(|checked| checked.levels), Ok(1), "{name}, {measure:?} {sense:?}");
        }
    }
}
