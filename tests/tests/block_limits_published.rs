//! The main job under limits printed in manuals and tolerances of a standard: parts are invented, limits are not.
//!
//! Every plan is compared with the best of all assignments there are.

use std::collections::HashMap;

use pairwright_engine::job::{Bounding, Columns, FitName, Goal, Job, LimitAsked, Measured};
use pairwright_engine::outcome::{Outcome, Planned, match_job};
use pairwright_engine::plan::{LimitKind, Standing};
use pairwright_engine::quantity::{Amount, Unit};
use pairwright_tests::{brute, build};
use proptest::prelude::*;

/// The upper limit printed for an item, in the unit of its row.
fn printed(manual: &str, item: &str) -> f64 {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../datasets/outside/limits/manual_limits.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).expect("the file is there");
    let rows = reader.records().map(|row| row.expect("a row"));
    let row = rows.into_iter().find(|row| &row[0] == manual && &row[2] == item).expect("the row is in the file");
    row[5].parse().expect("an upper limit")
}

/// The standard tolerance of a grade in micrometres, for a size in a range of nominal sizes (ISO 286-1:2010, Table 1).
fn tolerance(range: &str, grade: &str) -> i64 {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../datasets/outside/tolerances/iso286_it.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).expect("the file is there");
    let rows = reader.deserialize().map(|row: Result<HashMap<String, String>, _>| row.expect("a row"));
    let row = rows.into_iter().find(|row| row["size_mm"] == range).expect("the range is in the table");
    row[grade].parse().expect("a tolerance")
}

#[expect(clippy::cast_possible_truncation, reason = "a small printed figure")]
fn whole(figure: f64) -> i64 {
    figure.round() as i64
}

fn um(um: i64) -> Amount {
    Amount::new(um * 1_000, Unit::Millimetre, 3)
}

fn spread(values: &[i64]) -> i64 {
    values.iter().max().zip(values.iter().min()).map_or(0, |(high, low)| high - low)
}

fn plan(job: &Job) -> Planned {
    match match_job(job, None).expect("the checker accepts the answer").matches.remove(0).outcome {
        Outcome::Planned(planned) => {
            assert!(matches!(planned.standing, Standing::Proven { .. }), "{:?}", planned.standing);
            *planned
        }
        other => panic!("a plan was expected: {other:?}"),
    }
}

fn values(planned: &Planned, fit: FitName) -> Vec<i64> {
    let of = |placement: &pairwright_engine::plan::Placement| {
        placement.fits.iter().find(|value| value.fit == fit).expect("predicted").estimate.value
    };
    planned.plan.placements.iter().map(of).collect()
}

fn limit(fit: FitName) -> LimitAsked {
    LimitAsked { fit, min: None, max: None, spread: None, neighbours: None, guard: true, line: 1 }
}

/// Bores and pistons in micrometres, with a match about skirt clearance.
fn skirt_job(bores: &[i64], diameters: &[i64]) -> Job {
    let mut job = build::job(bores.len(), diameters.len());
    let amounts = |sizes: &[i64]| sizes.iter().map(|&size| um(size)).collect::<Vec<_>>();
    job.positions[0].columns = Columns::new(vec![build::column("bore", &amounts(bores))]);
    job.stocks[0].columns = Columns::new(vec![build::column("diameter", &amounts(diameters))]);
    job.matches[0] = build::most_even(FitName::Skirt);
    job
}

/// Piston weights of an engine within 2 g (TM 10-3930-653-14&P, page 4-32). Scales that show 0.1 g leave 0.1/√12 g in
/// every weighing; the guard band of a difference is 1.96 times √2 of that.
#[test]
fn masses_stay_within_the_printed_spread() {
    let most = whole(printed("TM 10-3930-653-14&P", "piston assembly weight spread") * 10.0);
    assert_eq!(most, 20, "tenths of a gram");
    let bores = [87_203, 87_241, 87_219, 87_228];
    let diameters = [87_212, 87_169, 87_199, 87_183, 87_166, 87_206, 87_191, 87_176, 87_173];
    let masses = [6_012, 6_031, 6_044, 6_009, 6_020, 6_027, 6_052, 6_015, 6_038];
    let mut job = skirt_job(&bores, &diameters);
    let gram = |tenths: i64| Amount::new(tenths * 1_000, Unit::Gram, 1);
    let columns = job.stocks[0].columns.iter().cloned();
    let weighed = build::column("mass", &masses.map(gram));
    job.stocks[0].columns = Columns::new(columns.chain([weighed]).collect());
    let free = spread(&values(&plan(&job), FitName::Skirt));
    job.matches[0].limits = vec![LimitAsked { spread: Some(gram(most)), ..limit(FitName::Mass) }];
    let planned = plan(&job);

    let band = 1.959_964 * 2.0_f64.sqrt() / 12.0_f64.sqrt();
    let allowed = vec![vec![true; diameters.len()]; bores.len()];
    let cost = |chosen: &[usize]| {
        let heavy: Vec<i64> = chosen.iter().map(|&part| masses[part]).collect();
        let clearance: Vec<i64> = bores.iter().zip(chosen).map(|(bore, &part)| bore - diameters[part]).collect();
        if spread(&heavy) as f64 + band <= most as f64 { spread(&clearance) * 1_000 } else { i64::MAX }
    };
    let best = brute::least(&allowed, cost).expect("there are assignments");
    assert_eq!(spread(&values(&planned, FitName::Skirt)), best);
    assert!(best > free, "the limit costs something here");
    let held = &planned.plan.limits[0];
    assert!((held.band - band * 1_000.0).abs() < 1.0, "{}", held.band);
}

/// The deck may differ by 0.002 in between neighbouring cylinders (TM 5-3895-369-14, "between cylinders" taken as
/// neighbours), asked of the pistons that stand on it: the highest total that keeps it, cylinder by cylinder.
#[test]
fn neighbours_stand_within_the_printed_variance_of_a_deck() {
    let most = whole(printed("TM 5-3895-369-14", "deck surface variance between cylinders") * 25_400_000.0);
    assert_eq!(most, 50_800, "0.002 in");
    let holes = [0, 61_000, -79_000, 22_000, 75_000];
    let pistons = [-31_000, 12_000, 44_000, -8_000, 27_000, 63_000];
    let mut job = build::job(holes.len(), pistons.len());
    let control = (0..holes.len()).map(|hole| (hole, 0, holes[hole] + pistons[0]));
    let others = (1..pistons.len()).map(|piston| (0, piston, holes[0] + pistons[piston]));
    job.deck = Some(build::readings(&control.chain(others).collect::<Vec<_>>()));
    job.matches[0].aim.goal = Goal::Highest;
    job.matches[0].aim.by = Measured::Total;
    job.matches[0].limits =
        vec![LimitAsked { neighbours: Some(build::nm(most)), guard: false, ..limit(FitName::Deck) }];
    let found = plan(&job);
    let decks = values(&found, FitName::Deck);
    assert!(decks.windows(2).all(|two| (two[0] - two[1]).abs() <= most), "{decks:?}");
    assert_eq!(found.plan.limits[0].kind, LimitKind::Neighbours);

    let total = |chosen: &[usize]| {
        let decks: Vec<i64> = holes.iter().zip(chosen).map(|(hole, &part)| hole + pistons[part]).collect();
        let held = decks.windows(2).all(|two| (two[0] - two[1]).abs() <= most);
        if held { -decks.iter().sum::<i64>() } else { i64::MAX }
    };
    let best = brute::least(&vec![vec![true; pistons.len()]; holes.len()], total).expect("there are assignments");
    assert_eq!(-decks.iter().sum::<i64>(), best);
    let free = |chosen: &[usize]| -holes.iter().zip(chosen).map(|(hole, &part)| hole + pistons[part]).sum::<i64>();
    assert!(
        brute::least(&vec![vec![true; pistons.len()]; holes.len()], free) < Some(best),
        "the limit costs something"
    );
}

/// Proved inside a limit at a risk of 5 % is what lies inside it by 1.65 u (ISO 14253-1:2017, printed with two
/// decimals), at 2.5 % what lies inside it by U = 1.96 u (ILAC-G8).
#[test]
fn guard_bands_are_those_of_the_standards() {
    for (risk, printed) in [(0.05, 1.65), (0.025, 1.96)] {
        let mut job = skirt_job(&[87_240], &[87_200]);
        job.risk = risk;
        job.matches[0].limits = vec![LimitAsked { min: Some(um(20)), ..limit(FitName::Skirt) }];
        let planned = plan(&job);
        let u = planned.plan.placements[0].fits[0].estimate.u;
        // Bore and piston are typed to a micrometre: 1000/√12 nm each.
        assert!((u - 1_000.0 * (2.0_f64 / 12.0).sqrt()).abs() < 1e-6);
        let limit = &planned.plan.limits[0];
        assert_eq!(limit.kind, LimitKind::Side(Bounding::Min));
        assert!((limit.band / u - printed).abs() < 0.006, "{} times u", limit.band / u);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Bores of IT7 and pistons of IT6 at 80 to 120 mm: parts taken as they come may differ in clearance by both
    /// tolerances together, 57 µm; matched they never differ by more than as they come, and by as little as any pairing.
    #[test]
    fn prop_matching_beats_what_the_tolerances_allow(
        sizes in prop::collection::vec((0_i64..=35, 0_i64..=22), 2..=6),
    ) {
        let (it7, it6) = (tolerance("80-120", "IT7"), tolerance("80-120", "IT6"));
        prop_assert_eq!((it7, it6), (35, 22));
        let bores: Vec<i64> = sizes.iter().map(|size| 87_000 + size.0).collect();
        let pistons: Vec<i64> = sizes.iter().map(|size| 86_950 - size.1).collect();
        let as_they_come: Vec<i64> = bores.iter().zip(&pistons).map(|(bore, piston)| bore - piston).collect();
        prop_assert!(spread(&as_they_come) <= it7 + it6);
        let found = spread(&values(&plan(&skirt_job(&bores, &pistons)), FitName::Skirt));
        let any = |chosen: &[usize]| {
            spread(&bores.iter().zip(chosen).map(|(bore, &part)| bore - pistons[part]).collect::<Vec<_>>())
        };
        let best = brute::least(&vec![vec![true; pistons.len()]; bores.len()], any).expect("there are assignments");
        prop_assert_eq!(found, best * 1_000);
        prop_assert!(found <= spread(&as_they_come) * 1_000);
    }
}
