//! OR-Library assignment problems (Beasley 1990); the figures and their sources stand in
//! `datasets/outside/orlib/SOURCE.md`.

use flate2::read::GzDecoder;
use pairwright_assign::{
    Criterion, Evidence, Measure, Outcome, Problem, Sense, Shape, Table, any_best, solve_with_proof,
};
use pairwright_proof::{check_proof, parse_proof, write_proof};
use std::path::Path;
use std::{fs, io};

/// Size; least total (published), greatest total, least worst cost, least range (computed elsewhere).
const KNOWN: [(usize, [i128; 4]); 8] = [
    (100, [305, 9900, 5, 3]),
    (200, [475, 19939, 5, 2]),
    (300, [626, 29959, 4, 1]),
    (400, [804, 39977, 3, 1]),
    (500, [991, 49989, 3, 0]),
    (600, [1176, 59996, 3, 0]),
    (700, [1362, 70000, 2, 0]),
    (800, [1552, 79999, 2, 0]),
];

const GOALS: [(Measure, Sense); 4] = [
    (Measure::Total, Sense::Least),
    (Measure::Total, Sense::Most),
    (Measure::Greatest, Sense::Least),
    (Measure::Spread, Sense::Least),
];

fn read(size: usize) -> Table {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets/outside/orlib");
    let plain = folder.join(format!("assign{size}.txt"));
    let text = if plain.exists() {
        fs::read_to_string(plain).expect("a data file")
    } else {
        let packed = fs::File::open(plain.with_extension("txt.gz")).expect("a data file");
        io::read_to_string(GzDecoder::new(packed)).expect("a packed data file")
    };
    let mut numbers = text.split_whitespace().map(|word| word.parse::<i64>().expect("a number"));
    assert_eq!(numbers.next(), i64::try_from(size).ok());
    let cells: Vec<Option<i64>> = numbers.map(Some).collect();
    Table::from_cells(Shape { slots: size, items: size }, &cells).expect("n rows of n costs")
}

#[test]
fn all_four_figures_of_every_problem_with_their_proofs() {
    for (size, known) in KNOWN {
        let table = read(size);
        for ((measure, sense), value) in GOALS.into_iter().zip(known) {
            let criterion = Criterion { table: &table, measure, sense, slack: 0 };
            let problem = Problem::new(vec![criterion], vec![]).unwrap();
            let (Outcome::Proven(solution), Evidence::Proof(proof)) = solve_with_proof(&problem) else {
                panic!("{measure:?} is exact")
            };
            assert_eq!(solution.values, [value], "{measure:?} {sense:?} at {size}");
            let proof = parse_proof(&write_proof(&proof)).unwrap();
            let checked = check_proof(&problem.statement(), &solution.choice, &[value], &proof).unwrap();
            assert_eq!(checked.levels, 1, "{measure:?} {sense:?} at {size}");
        }
    }
}

#[test]
fn the_published_totals_without_telling_ties_apart() {
    for (size, known) in KNOWN {
        let table = read(size);
        for ((measure, sense), value) in GOALS.into_iter().zip(known).take(2) {
            let problem = Problem::new(vec![Criterion { table: &table, measure, sense, slack: 0 }], vec![]).unwrap();
            let best = any_best(&problem).unwrap();
            assert_eq!(best.value, value, "{sense:?} at {size}");
            let checked = check_proof(&problem.statement(), &best.choice, &[value], &best.proof()).unwrap();
            assert_eq!(checked.levels, 1, "{sense:?} at {size}");
        }
    }
}
