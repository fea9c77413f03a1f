//! Skirt clearance against published limits and the rearrangement theorem.

use pairwright_engine::job::{Bounding, Columns, FitName, Goal, Job, LimitAsked, Measured, PositionLimit};
use pairwright_engine::outcome::{Outcome, match_job};
use pairwright_engine::plan::{LimitState, Plan};
use pairwright_engine::quantity::{Amount, Unit};
use pairwright_tests::build;
use proptest::prelude::*;

fn micrometres(um: i64) -> Amount {
    Amount::new(um * 1_000, Unit::Millimetre, 3)
}

/// A job with these bores and diameters, in micrometres, whose match is about skirt clearance.
fn skirt_job(bores: &[i64], diameters: &[i64]) -> Job {
    let mut job = build::job(bores.len(), diameters.len());
    let amounts = |sizes: &[i64]| sizes.iter().map(|&um| micrometres(um)).collect::<Vec<_>>();
    job.positions[0].columns = Columns::new(vec![build::column("bore", &amounts(bores))]);
    job.stocks[0].columns = Columns::new(vec![build::column("diameter", &amounts(diameters))]);
    job.matches[0] = build::most_even(FitName::Skirt);
    job
}

fn plan(job: &Job) -> Option<Plan> {
    match match_job(job, None).expect("the checker accepts the answer").matches.remove(0).outcome {
        Outcome::Planned(planned) => Some(planned.plan),
        _ => None,
    }
}

/// Skirt clearance in micrometres, in position order.
fn clearances(plan: &Plan) -> Vec<i64> {
    let of = |placement: &pairwright_engine::plan::Placement| {
        placement.fits.iter().find(|value| value.fit == FitName::Skirt).expect("predicted").estimate.value / 1_000
    };
    plan.placements.iter().map(of).collect()
}

fn window(job: &mut Job, min: i64, max: i64) {
    job.matches[0].limits.push(LimitAsked {
        fit: FitName::Skirt,
        min: Some(micrometres(min)),
        max: Some(micrometres(max)),
        spread: None,
        neighbours: None,
        guard: true,
        line: 1,
    });
}

/// Bores 87.20 to 87.25 mm, pistons 87.165 to 87.215 mm, clearance 0.025 to 0.045 mm at 20 C
/// (TM 10-3930-653-14&P, pages 4-19 and 4-32; `datasets/outside/limits`). Within those sizes random
/// pairs range from -0.015 to +0.085 mm; the sizes here are made to spread over the whole tolerance.
#[test]
fn a_match_holds_the_clearance_that_interchangeable_parts_cannot() {
    let bores = [87_203, 87_241, 87_219, 87_228, 87_210, 87_247];
    let pistons = [87_212, 87_169, 87_199, 87_183, 87_166, 87_206, 87_191, 87_176, 87_173];
    assert!(bores.iter().all(|bore| (87_200..=87_250).contains(bore)));
    assert!(pistons.iter().all(|piston| (87_165..=87_215).contains(piston)));
    let as_listed: Vec<i64> = bores.iter().zip(pistons).map(|(bore, piston)| bore - piston).collect();
    assert!(as_listed.iter().any(|clearance| !(25..=45).contains(clearance)), "{as_listed:?}");

    let mut job = skirt_job(&bores, &pistons);
    window(&mut job, 25, 45);
    let plan = plan(&job).expect("the match exists");
    let found = clearances(&plan);
    assert!(found.iter().all(|clearance| (25..=45).contains(clearance)), "{found:?}");
    assert!(plan.limits.iter().all(|limit| limit.state == LimitState::Held));
}

/// Piston clearance 0.0035 to 0.0045 in for six front cylinders and 0.004 to 0.0050 in for the two
/// rear ones (TM 9-2320-289-34, page 3-41; `datasets/outside/limits`): the limits stand in columns of
/// the positions, and the plan holds each cylinder's own.
#[test]
fn limits_that_differ_by_position_are_held_each_in_its_own() {
    let tenth = |ten_thousandths: i64| Amount::new(ten_thousandths * 2_540, Unit::Inch, 4);
    let bores: Vec<_> = (0..8).map(|j| tenth(39_800 + [3, 0, 5, 1, 4, 2, 0, 3][j])).collect();
    let diameters: Vec<_> = [40, 41, 40, 42, 38, 41, 39, 43, 44, 37].iter().map(|less| tenth(39_802 - less)).collect();
    let mut job = build::job(8, diameters.len());
    job.positions[0].columns = Columns::new(vec![build::column("bore", &bores)]);
    job.stocks[0].columns = Columns::new(vec![build::column("diameter", &diameters)]);
    job.matches[0] = build::most_even(FitName::Skirt);
    let limit = |side, front: i64, rear: i64| PositionLimit {
        fit: FitName::Skirt,
        side,
        values: (0..8).map(|j| Some(tenth(if j < 6 { front } else { rear }))).collect(),
    };
    job.positions[0].limits = vec![limit(Bounding::Min, 35, 40), limit(Bounding::Max, 45, 50)];
    let plan = plan(&job).expect("the match exists");
    for placement in &plan.placements {
        let skirt = placement.fits.iter().find(|value| value.fit == FitName::Skirt).expect("predicted").estimate;
        let (least, most) = if placement.position < 6 { (35, 45) } else { (40, 50) };
        assert!((least * 2_540..=most * 2_540).contains(&skirt.value), "{placement:?}");
    }
    assert!(plan.limits.iter().all(|limit| limit.by_position && limit.state == LimitState::Held));
}

/// Sorted pairing is best for the sum of squares, the worst deviation and the range at once
/// (Hardy, Littlewood & Polya, Inequalities, 1934, chapter X). The expected values were computed by
/// three independent programs; see `datasets/outside/assignment/SOURCE.md`.
#[test]
fn the_sorted_pairing_cases() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../datasets/outside/assignment/sorted_pairing.json");
    let text = std::fs::read_to_string(path).expect("the data stands in the repository");
    let data: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let list = |case: &serde_json::Value, key: &str| -> Vec<i64> {
        case[key].as_array().expect(key).iter().map(|v| v.as_i64().expect(key)).collect()
    };
    let cases = data["cases"].as_array().expect("cases");
    assert_eq!(cases.len(), 4);
    for case in cases {
        let mut job = skirt_job(&list(case, "bore_um"), &list(case, "piston_um"));
        let target = case["target_clearance_um"].as_i64().expect("target");
        let deviations =
            |plan: &Plan| -> Vec<i64> { clearances(plan).iter().map(|clearance| clearance - target).collect() };

        let even = clearances(&plan(&job).expect("a plan"));
        let range = even.iter().max().zip(even.iter().min()).map(|(high, low)| high - low);
        assert_eq!(range, case["min_range"].as_i64());

        job.matches[0].aim.goal = Goal::Near(micrometres(target));
        job.matches[0].aim.by = Measured::Squares;
        let squares: i64 = deviations(&plan(&job).expect("a plan")).iter().map(|d| d * d).sum();
        assert_eq!(Some(squares), case["min_sum_sq_dev"].as_i64());

        job.matches[0].aim.by = Measured::Worst;
        let worst = deviations(&plan(&job).expect("a plan")).iter().map(|d| d.abs()).max();
        assert_eq!(worst, case["min_worst_dev"].as_i64());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// With one size on each side and no part to spare, the plan is as good as the sorted pairing.
    #[test]
    fn prop_sorted_pairing_is_reached(sizes in prop::collection::vec((87_200_i64..87_250, 87_165_i64..87_215), 2..9)) {
        let (mut bores, mut pistons): (Vec<i64>, Vec<i64>) = sizes.into_iter().unzip();
        let mut job = skirt_job(&bores, &pistons);
        let even = clearances(&plan(&job).expect("a plan"));
        job.matches[0].aim.by = Measured::Squares;
        let least = clearances(&plan(&job).expect("a plan"));
        bores.sort_unstable();
        pistons.sort_unstable();
        let sorted: Vec<i64> = bores.iter().zip(&pistons).map(|(bore, piston)| bore - piston).collect();
        let range = |values: &[i64]| values.iter().max().zip(values.iter().min()).map(|(high, low)| high - low);
        let squares = |values: &[i64]| -> i64 { values.iter().map(|v| v * v).sum() };
        prop_assert_eq!(range(&even), range(&sorted));
        prop_assert_eq!(squares(&least), squares(&sorted));
    }
}
