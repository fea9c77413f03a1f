//! Limits with guard bands, and what is said where they cannot be held.

use pairwright_engine::job::{Bounding, Columns, FitName, Job, LimitAsked, Pin};
use pairwright_engine::outcome::{Outcome, match_job, recheck_no_plan};
use pairwright_engine::plan::{Culprit, Impossible, LimitKind, LimitState, Nothing, Plan, Setting, Taken, WhyNone};
use pairwright_tests::{build, no_plan};

/// Two cylinders, three pistons; deck clearances in nm are piston plus cylinder; gauge repeatability
/// stated as 10 µm so that bands are some 20 µm wide and more.
fn job() -> Job {
    let mut job = build::job(2, 3);
    let rows = [(0, 0, 0), (0, 1, 50_000), (0, 2, 100_000), (1, 0, 20_000), (1, 1, 70_000), (1, 2, 120_000)];
    let mut deck = build::readings(&rows);
    deck.repeatability = Some(build::nm(10_000));
    job.deck = Some(deck);
    job
}

fn limit(job: &mut Job, min: Option<i64>, max: Option<i64>, guard: bool) {
    job.matches[0].limits.push(LimitAsked {
        fit: FitName::Deck,
        min: min.map(build::nm),
        max: max.map(build::nm),
        spread: None,
        neighbours: None,
        guard,
        line: 3,
    });
}

fn run(job: &Job) -> Outcome {
    match_job(job, None).expect("the checker accepts the answer").matches.remove(0).outcome
}

fn plan(job: &Job) -> Plan {
    match run(job) {
        Outcome::Planned(planned) => planned.plan,
        other => panic!("a plan was expected: {other:?}"),
    }
}

fn impossible(job: &Job) -> Impossible {
    match run(job) {
        Outcome::Impossible(impossible) => {
            if !impossible.by_widest_band {
                no_plan::assert_proven(job, &impossible.no_plan);
            }
            *impossible
        }
        other => panic!("no plan was expected: {other:?}"),
    }
}

#[test]
fn a_limit_is_held_only_with_its_guard_band_inside() {
    let mut job = job();
    limit(&mut job, None, Some(120_000), true);
    let guarded = plan(&job);
    let report = &guarded.limits[0];
    assert_eq!(report.state, LimitState::Held);
    assert!(report.band > 10_000.0 && report.margin as f64 >= report.band, "{report:?}");
    // The band is t(1 − risk, ν)·u of the tightest placement: its upper interval end is 1.96 u or more away.
    let tightest = report.tightest.expect("a position");
    let estimate = guarded.placements[tightest].fits[0].estimate;
    assert!(
        (report.band - (estimate.high - estimate.value as f64)).abs() < 1e-6 * report.band,
        "{report:?} {estimate:?}"
    );
}

#[test]
fn a_value_on_the_limit_is_inside_and_one_tick_beyond_is_not() {
    let mut job = job();
    // Only piston 2 in cylinder 1 reaches 120 µm; keep it there.
    job.matches[0].keep.push(Pin { position: 1, part: 2, role: 0 });
    limit(&mut job, None, Some(120_000), false);
    assert_eq!(plan(&job).limits[0].margin, 0);
    job.matches[0].limits[0].max = Some(build::nm(119_999));
    let why = impossible(&job);
    let culprit = Culprit::Limit {
        fit: FitName::Deck,
        kind: LimitKind::Side(Bounding::Max),
        enough: Some(1),
        setting: Setting::default(),
    };
    assert_eq!(why.culprits, vec![culprit, Culprit::KeepOrBar]);
    assert_eq!(why.positions, vec![1]);
}

#[test]
fn a_plan_that_only_holds_at_face_value_is_no_plan() {
    let mut job = job();
    limit(&mut job, Some(15_000), Some(75_000), true);
    let why = impossible(&job);
    let nominal = why.nominal.expect("pistons 1 and 0 fit at face value");
    assert!(nominal.limits.iter().any(|limit| limit.state == LimitState::Nominal));
    assert!(nominal.limits.iter().all(|limit| limit.state != LimitState::Broken));
}

#[test]
fn the_smallest_change_of_a_limit_is_enough_and_one_tick_less_is_not() {
    let mut job = job();
    limit(&mut job, Some(60_000), None, true);
    let why = impossible(&job);
    let Some(Culprit::Limit { enough: Some(enough), .. }) = why.culprits.first() else { panic!("{why:?}") };
    assert!(*enough > 0);
    let with = |less: i64| {
        let mut job = job.clone();
        job.matches[0].limits[0].min = Some(build::nm(60_000 - less));
        matches!(run(&job), Outcome::Planned(_))
    };
    assert!(with(*enough) && !with(enough - 1), "{enough}");
}

#[test]
fn room_smaller_than_the_bands_is_called_too_coarse() {
    let mut job = job();
    limit(&mut job, Some(45_000), Some(55_000), true);
    let why = impossible(&job);
    assert!(!why.too_coarse.is_empty());
    for coarse in &why.too_coarse {
        assert_eq!(coarse.room, 10_000);
        assert!(coarse.bands > 10_000.0);
        assert!(coarse.repeats.is_some_and(|repeats| repeats > 1), "{coarse:?}");
    }
}

#[test]
fn a_spread_limit_says_how_much_wider_it_would_have_to_be() {
    let mut job = job();
    let grams = |tenths: i64| {
        pairwright_engine::quantity::Amount::new(tenths * 1_000, pairwright_engine::quantity::Unit::Gram, 1)
    };
    job.stocks[0].columns = Columns::new(vec![build::column("mass", &[grams(6_000), grams(6_030), grams(6_070)])]);
    job.matches[0].limits.push(LimitAsked {
        fit: FitName::Mass,
        min: None,
        max: None,
        spread: Some(grams(20)),
        neighbours: None,
        guard: false,
        line: 4,
    });
    let why = impossible(&job);
    // The two lightest differ by 3.0 g: 1.0 g more than allowed.
    let culprit = Culprit::Limit {
        fit: FitName::Mass,
        kind: LimitKind::Spread,
        enough: Some(10_000),
        setting: Setting::default(),
    };
    assert_eq!(why.culprits, vec![culprit]);
}

#[test]
fn that_no_neighbours_are_close_enough_is_proven_with_the_limit_between_them() {
    let mut job = job();
    job.matches[0].limits.push(LimitAsked {
        fit: FitName::Deck,
        min: None,
        max: None,
        spread: None,
        neighbours: Some(build::nm(29_999)),
        guard: false,
        line: 3,
    });
    // The closest two are 50 and 20 µm.
    let why = impossible(&job);
    assert!(matches!(&why.no_plan.why, WhyNone::BySetting(all) if matches!(all[..], [Nothing::Beside(_)])), "{why:?}");
    job.matches[0].limits[0].neighbours = Some(build::nm(30_000));
    assert_eq!(plan(&job).placements.len(), 2);
    // What was proven of the narrower limit says nothing of this one, whatever the proof says that it is about.
    let mut other = why.no_plan;
    other.stated.limits[0].bounds = vec![Some(30_000)];
    assert!(recheck_no_plan(&job, 0, &Taken::default(), &other).is_err());
}
