//! The reduction against a dense least-squares fit, and its invariances.

mod bounds;
mod dense;
mod findings;
mod invariance;
mod leaving_out;
mod response;
mod straight;
mod untied;

use super::{Gauge, PartId, PositionId, Reading};
use proptest::prelude::*;

/// A reading on line `line`, in nm.
fn reading(line: u32, part: u32, position: u32, value: f64) -> Reading {
    Reading { part: PartId::new(part), position: PositionId::new(position), value, spot: None, left_out: false, line }
}

/// A gauge with a step and a stated repeatability, in nm.
fn gauge(resolution: f64, repeatability: f64) -> Gauge {
    Gauge { resolution: Some(resolution), repeatability: Some(repeatability) }
}

fn plain_gauge() -> Gauge {
    Gauge::default()
}

/// Parts, positions and readings that tie all of them together: a random tree, then readings anywhere, then spots.
fn connected(spots: u32) -> impl Strategy<Value = (usize, usize, Vec<Reading>)> {
    (1_u32..6, 1_u32..5).prop_flat_map(move |(parts, positions)| {
        let value = -500.0..500.0_f64;
        let spot = 0..=spots;
        let tree = prop::collection::vec((any::<u32>(), value.clone(), spot.clone()), (parts + positions) as usize);
        let more = prop::collection::vec((0..parts, 0..positions, value, spot), 2..14);
        (tree, more).prop_map(move |(tree, more)| {
            let mut edges = vec![];
            for (part, (pick, value, spot)) in (0..parts).zip(&tree) {
                edges.push((part, if part == 0 { 0 } else { pick % positions.min(part) }, *value, *spot));
            }
            for (position, (pick, value, spot)) in (0..positions).zip(&tree[parts as usize..]) {
                edges.push((if position == 0 { 0 } else { pick % parts }, position, *value, *spot));
            }
            // Part i hangs on a position below i, position j on any part; tie what that leaves apart to part 0.
            for position in 0..positions {
                edges.push((0, position, f64::from(position) * 7.5, 0));
            }
            edges.extend(more);
            let readings = (1..)
                .zip(edges)
                .map(|(line, (part, position, value, spot))| Reading {
                    spot: spot.checked_sub(1),
                    ..reading(line, part, position, value)
                })
                .collect();
            (parts as usize, positions as usize, readings)
        })
    })
}
