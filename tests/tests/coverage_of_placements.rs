//! Intervals of placements by simulation with known truth.
//!
//! The parts of a plan were selected for what was predicted of them, so their intervals are tested
//! where they are used: after the selection.

use pairwright_engine::job::{FitName, Job};
use pairwright_engine::outcome::{Outcome, Planned, match_job};
use pairwright_engine::statistics::{NormalDraws, Stream};
use pairwright_tests::build;

const JOBS: u64 = 400;
const CYLINDERS: usize = 6;
const PISTONS: usize = 9;

/// Effects with a standard deviation of 60 µm, readings that scatter by 10 µm, rounded to `step`.
struct World {
    truth: Vec<Vec<f64>>,
    job: Job,
}

fn world(seed: u64, step: f64) -> World {
    let mut draws = NormalDraws::new(seed, Stream::new(900));
    let cylinders: Vec<f64> = (0..CYLINDERS).map(|_| 60_000.0 * draws.next_draw()).collect();
    let pistons: Vec<f64> = (0..PISTONS).map(|_| 60_000.0 * draws.next_draw()).collect();
    let truth: Vec<Vec<f64>> = cylinders.iter().map(|d| pistons.iter().map(|h| h + d).collect()).collect();
    let mut read = |cylinder: usize, piston: usize| {
        let value = truth[cylinder][piston] + 10_000.0 * draws.next_draw();
        (cylinder, piston, nearest(value, step))
    };
    // One control piston three times in every cylinder, every other piston twice in one cylinder.
    let mut rows: Vec<_> = (0..CYLINDERS).flat_map(|cylinder| [(cylinder, 0); 3]).map(|(c, p)| read(c, p)).collect();
    rows.extend((1..PISTONS).flat_map(|piston| [(0, piston); 2]).map(|(c, p)| read(c, p)));
    let mut job = build::job(CYLINDERS, PISTONS);
    let mut deck = build::readings(&rows);
    deck.repeatability = Some(build::nm(10_000));
    deck.resolution = Some(build::nm(nearest(step, 1.0)));
    job.deck = Some(deck);
    job.seed = seed;
    World { truth, job }
}

#[expect(clippy::cast_possible_truncation, reason = "a reading of a simulation is far inside i64")]
fn nearest(value: f64, step: f64) -> i64 {
    ((value / step).round() * step) as i64
}

/// Share of placements whose 95 % interval holds the truth, and share of plans whose interval of
/// the expected true spread does.
fn coverage(step: f64) -> (f64, f64) {
    let (mut inside, mut spread_inside) = (0_u32, 0_u32);
    for seed in 1..=JOBS {
        let world = world(seed, step);
        let planned = planned(&world.job);
        let mut true_values = Vec::new();
        for placement in &planned.plan.placements {
            let truth = world.truth[placement.position][placement.parts[0]];
            let deck = placement.fits.iter().find(|value| value.fit == FitName::Deck).expect("predicted").estimate;
            inside += u32::from((deck.low..=deck.high).contains(&truth));
            true_values.push(truth);
        }
        let high = true_values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let low = true_values.iter().copied().fold(f64::INFINITY, f64::min);
        let expected = planned.plan.summary.expected_spread;
        spread_inside += u32::from((expected.low..=expected.high).contains(&(high - low)));
    }
    let jobs = f64::from(u32::try_from(JOBS).expect("a small count"));
    (f64::from(inside) / (jobs * 6.0), f64::from(spread_inside) / jobs)
}

fn planned(job: &Job) -> Planned {
    match match_job(job, None).expect("the checker accepts the answer").matches.remove(0).outcome {
        Outcome::Planned(planned) => *planned,
        other => panic!("{other:?}"),
    }
}

#[test]
fn intervals_of_selected_placements_cover() {
    let (placements, spreads) = coverage(1_000.0);
    assert!((0.93..=0.97).contains(&placements), "placements {placements}");
    assert!(spreads >= 0.90, "spreads {spreads}");
}

#[test]
fn a_coarse_gauge_does_not_feign_certainty() {
    let (placements, spreads) = coverage(50_000.0);
    assert!(placements >= 0.93, "placements {placements}");
    assert!(spreads >= 0.90, "spreads {spreads}");
}
