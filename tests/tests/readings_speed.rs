//! How long reductions and draws take. Run by hand, in release, for the figures; nothing here fails for being slow.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

use pairwright_engine::readings::{Gauge, PartId, PositionId, Reading, reduce};
use pairwright_engine::statistics::{Stream, joint_normal};
use std::time::{Duration, Instant};

/// The best of several runs.
fn best(mut run: impl FnMut()) -> Duration {
    (0..15)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed()
        })
        .min()
        .unwrap()
}

/// A control part three times in each of 8 positions, then every other part in position 0 (or, `twice`, in two positions).
fn pile(parts: u32, twice: bool) -> Vec<Reading> {
    let control = (0..24).map(|k| (0, k / 3));
    let others = (1..parts).flat_map(|part| {
        let second = twice.then_some((part, 1 + part % 7));
        [Some((part, 0)), second].into_iter().flatten()
    });
    (2..)
        .zip(control.chain(others))
        .map(|(line, (part, position))| Reading {
            part: PartId::new(part),
            position: PositionId::new(position),
            value: f64::from((part * 7919 + position * 104_729 + line * 31) % 97) * 2540.0,
            spot: None,
            left_out: false,
            line,
        })
        .collect()
}

#[test]
#[ignore = "prints times for a reader"]
fn times() {
    let gauge = Gauge { resolution: Some(2540.0), repeatability: Some(10_000.0) };
    for (parts, twice) in [(12, false), (100_000, false), (100_000, true)] {
        let readings = pile(parts, twice);
        let time = best(|| drop(reduce(parts as usize, 8, &readings, &gauge, &[]).unwrap()));
        println!("reduce {} readings of {parts} parts in 8 positions: {time:?}", readings.len());
        let effects = reduce(parts as usize, 8, &readings, &gauge, &[]).unwrap();
        let time = best(|| {
            let mut sum = 0.0;
            for part in (0..parts).map(PartId::new) {
                for position in (0..8).map(PositionId::new) {
                    sum += effects.predict(part, position).unwrap().u;
                }
            }
            assert!(sum > 0.0);
        });
        println!("  predict all {} pairs: {time:?}", parts * 8);
    }
    let effects = reduce(12, 8, &pile(12, false), &gauge, &[]).unwrap();
    let pairs: Vec<_> = (0..8).map(|at| (PartId::new(at + 2), PositionId::new(at))).collect();
    let covariance = effects.covariance(&pairs).unwrap();
    println!("covariance of 8 pairs: {:?}", best(|| drop(effects.covariance(&pairs))));
    let time = best(|| drop(joint_normal(&covariance, 4000, 1, Stream::new(1))));
    println!("4000 draws of 8 values: {time:?}");
}
