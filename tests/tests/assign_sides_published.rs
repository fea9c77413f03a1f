//! Side conditions with limits printed in manuals (`datasets/outside/limits`): parts are invented, limits are not.
//!
//! Every answer is compared with the best of all assignments there are.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

use pairwright_assign::sides::{Side, SidedOutcome, SidedProblem, Standstill, solve_sided};
use pairwright_assign::{
    Criterion, Item, Measure, Neighbour, Problem, Sense, Shape, Sides, Slot, Solution, Table, TotalLimit, Window,
};
use pairwright_proof::check_sided;
use pairwright_tests::brute::least;

/// The limits of an item of a manual, in the unit of the row: lowest, highest, and the same in the second unit.
struct Printed {
    lo: Option<f64>,
    hi: Option<f64>,
    alt_lo: Option<f64>,
    alt_hi: Option<f64>,
}

fn printed(manual: &str, item: &str) -> Printed {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../datasets/outside/limits/manual_limits.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).unwrap();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let row = rows.iter().find(|row| &row[0] == manual && &row[2] == item).expect("the row is in the file");
    let number = |at: usize| row[at].parse().ok();
    Printed { lo: number(4), hi: number(5), alt_lo: number(7), alt_hi: number(8) }
}

/// A printed figure in ticks, `per` of them to its unit.
#[expect(clippy::cast_possible_truncation, reason = "a whole number below 1e9")]
fn ticks(figure: Option<f64>, per: i32) -> i64 {
    let ticks = (figure.expect("printed") * f64::from(per)).round();
    assert!(ticks.abs() < 1e9);
    ticks as i64
}

fn table(shape: Shape, value: impl Fn(usize, usize) -> Option<i64>) -> Table {
    Table::from_fn(shape, |slot, item| value(slot.index(), item.index())).unwrap()
}

fn even(table: &Table) -> Criterion<'_> {
    Criterion { table, measure: Measure::Spread, sense: Sense::Least, slack: 0 }
}

fn spread(values: &[i64]) -> i64 {
    values.iter().max().unwrap() - values.iter().min().unwrap()
}

fn proven(problem: &SidedProblem<'_>) -> Solution {
    match solve_sided(problem) {
        SidedOutcome::Proven(solution) => {
            let statement = problem.problem().statement();
            assert_eq!(check_sided(&statement, problem.sides(), &solution.choice, &solution.values), Ok(()));
            solution
        }
        other => panic!("a small problem: {other:?}"),
    }
}

fn allowed(table: &Table) -> Vec<Vec<bool>> {
    let row = |slot| table.items().map(|item| table.get(slot, item).is_some()).collect();
    table.slots().map(row).collect()
}

fn values(table: &Table, chosen: &[usize]) -> Vec<i64> {
    let item = |&at: &usize| Item::new(u32::try_from(at).unwrap());
    table.slots().zip(chosen).map(|(slot, at)| table.get(slot, item(at)).unwrap()).collect()
}

/// Piston weights of an engine within 2 g, rods within 5 g (TM 10-3930-653-14&P, pages 4-32 and 4-35).
#[test]
fn bores_and_pistons_fit_evenly_with_masses_within_the_printed_spread() {
    let manual = "TM 10-3930-653-14&P";
    let pistons = ticks(printed(manual, "piston assembly weight spread").hi, 10);
    let rods = ticks(printed(manual, "connecting rod weight spread").hi, 10);
    assert_eq!((pistons, rods), (20, 50));

    // Bores and pistons about 87.2 mm in micrometres; masses in tenths of a gram.
    let bores = [87_203, 87_241, 87_219, 87_228];
    let diameters = [87_212, 87_169, 87_199, 87_183, 87_166, 87_206, 87_191, 87_176, 87_173];
    let masses = [6_012, 6_031, 6_044, 6_009, 6_020, 6_027, 6_052, 6_015, 6_038];
    let shape = Shape { slots: 4, items: 9 };
    let clearance = table(shape, |slot, item| Some(bores[slot] - diameters[item]));
    let mass = table(shape, |_, item| Some(masses[item]));
    let solved = |width| {
        let window = Window { table: &mass, width };
        let problem = Problem::new(vec![even(&clearance)], vec![window]).unwrap();
        proven(&SidedProblem::new(problem, Sides::default()).unwrap()).values[0]
    };
    let enumerated = |width| {
        let cost = |chosen: &[usize]| {
            let held = spread(&values(&mass, chosen)) <= width;
            if held { i128::from(spread(&values(&clearance, chosen))) } else { i128::MAX }
        };
        least(&allowed(&clearance), cost).unwrap()
    };
    for width in [pistons, rods] {
        assert_eq!(solved(width), enumerated(width));
    }
    assert!(solved(pistons) > solved(rods), "the narrower limit costs something here");
}

/// Liner heights 0.030 to 0.100 mm above the block, neighbours within 0.05 mm (TM 9-2815-260-24, Table 5-11).
#[test]
fn liners_stand_as_evenly_as_their_neighbours_allow() {
    let manual = "TM 9-2815-260-24";
    let height = printed(manual, "liner height above block");
    let (low, high) = (ticks(height.alt_lo, 1000), ticks(height.alt_hi, 1000));
    let beside = ticks(printed(manual, "liner height difference to nearest point of neighbour").alt_hi, 1000);
    assert_eq!((low, high, beside), (30, 100, 50));

    // Counterbores and flanges in micrometres; a flange stands out by what the counterbore is shallower.
    let depths = [8_916, 8_951, 8_902, 8_938, 8_921, 8_945];
    let flanges = [8_999, 8_964, 9_016, 8_981, 8_957, 8_990, 9_012];
    let prices = [31, 8, 40, 17, 5, 22, 36];
    let shape = Shape { slots: 6, items: 7 };
    let heights =
        table(shape, |slot, item| Some(flanges[item] - depths[slot]).filter(|height| (low..=high).contains(height)));
    let price = table(shape, |_, item| Some(prices[item]));
    let cheapest = |beside| {
        let pairs = (0..5).map(|slot| [slot, slot + 1].map(Slot::new));
        let near = |[one, other]: [Slot; 2]| Neighbour { one, other, table: &heights, most: beside };
        let sides = Sides { neighbours: pairs.map(near).collect(), ..Sides::default() };
        let cheap = Criterion { measure: Measure::Total, ..even(&price) };
        let worst = Criterion { table: &heights, measure: Measure::Greatest, sense: Sense::Most, slack: 0 };
        let problem = Problem::new(vec![cheap, worst], vec![]).unwrap();
        SidedProblem::new(problem, sides).unwrap()
    };
    for beside in [beside, beside / 2, beside / 5] {
        let close = |chosen: &[usize]| {
            values(&heights, chosen).windows(2).all(|two| two[0].abs_diff(two[1]) <= beside.unsigned_abs())
        };
        let cost = |chosen: &[usize]| {
            let worst = -i128::from(*values(&heights, chosen).iter().max().unwrap());
            if close(chosen) { (i128::from(values(&price, chosen).iter().sum::<i64>()), worst) } else { (i128::MAX, 0) }
        };
        let best = least(&allowed(&heights), cost).filter(|&(total, _)| total < i128::MAX);
        match best {
            Some((total, worst)) => assert_eq!(proven(&cheapest(beside)).values, [total, -worst], "{beside}"),
            None => assert!(matches!(solve_sided(&cheapest(beside)), SidedOutcome::Impossible(_)), "{beside}"),
        }
    }
}

/// Oil clearance of adjacent main bearings within 0.001 in (TM 5-6115-593-34).
#[test]
fn adjacent_mains_keep_within_a_thousandth_and_the_one_that_cannot_is_named() {
    let beside = ticks(printed("TM 5-6115-593-34", "total worn oil clearance difference").hi, 10_000);
    assert_eq!(beside, 10);
    assert_eq!(printed("TM 5-6115-593-34", "total worn oil clearance difference").lo, None);

    // Clearances in ten-thousandths of an inch: room of the bore less the shells' wall.
    let rooms = [58, 44, 71, 49, 62];
    let walls = [30, 20, 41, 26, 15, 34, 23];
    let moved = |slot: usize, item: usize| i64::from(slot != item);
    let shape = Shape { slots: 5, items: 7 };
    let clearance = table(shape, |slot, item| Some(rooms[slot] - walls[item]).filter(|clearance| *clearance >= 12));
    let moves = table(shape, |slot, item| Some(moved(slot, item)));
    let problem = |beside, most_moves| {
        let near =
            |slot| Neighbour { one: Slot::new(slot), other: Slot::new(slot + 1), table: &clearance, most: beside };
        let totals = vec![TotalLimit { table: &moves, least: None, most: Some(most_moves) }];
        let sides = Sides { neighbours: (0..4).map(near).collect(), totals, ..Sides::default() };
        SidedProblem::new(Problem::new(vec![even(&clearance)], vec![]).unwrap(), sides).unwrap()
    };
    let best = |most_moves: i64| {
        let cost = |chosen: &[usize]| {
            let v = values(&clearance, chosen);
            let close = v.windows(2).all(|two| two[0].abs_diff(two[1]) <= 10);
            let kept = values(&moves, chosen).iter().sum::<i64>() <= most_moves;
            if close && kept { i128::from(spread(&v)) } else { i128::MAX }
        };
        least(&allowed(&clearance), cost).filter(|&spread| spread < i128::MAX)
    };
    let mut met = [false; 2];
    for most_moves in 0..=5 {
        match (solve_sided(&problem(beside, most_moves.into())), best(most_moves)) {
            (SidedOutcome::Proven(solution), spread) => {
                assert_eq!(Some(solution.values[0]), spread);
                met[0] = true;
            }
            (SidedOutcome::Impossible(Standstill::Sides(conflict)), None) => {
                assert!(conflict.minimal && conflict.together.contains(&Side::Total(0)), "{conflict:?}");
                met[1] = true;
            }
            other => panic!("{most_moves} moves: {other:?}"),
        }
    }
    assert_eq!(met, [true; 2]);
}
