//! The response to a change against reducing the changed readings.

use super::super::{Deck, Gauge, PartId, PositionId, Reading, Station, reduce};

/// Uneven numbers of repeats, a redundant cell, and a position that only a straight deck predicts.
#[test]
fn a_response_is_what_changed_readings_give() {
    let at = [(0, 0), (0, 0), (0, 1), (0, 2), (1, 1), (1, 1), (1, 2), (2, 0)];
    let value = |k: usize| 1_000.0 * ((k * k * 7) % 13) as f64;
    let change = |k: usize| [0.0, 1.0, -1.0, 0.0, 1.0, 0.5, 0.0, -2.0][k];
    let readings = |by: f64| -> Vec<Reading> {
        at.iter()
            .zip(0..)
            .map(|(&(part, position), line)| Reading {
                part: PartId::new(part),
                position: PositionId::new(position),
                value: value(line as usize) + by * change(line as usize),
                spot: None,
                left_out: false,
                line,
            })
            .collect()
    };
    let stations = (0..4).map(|j| Station { position: PositionId::new(j), along: f64::from(j) }).collect();
    let deck = [Deck { stations, straight: true, form: Some(2_000.0) }];
    // A repeatability so coarse that the changes do not move the weights.
    let gauge = Gauge { resolution: None, repeatability: Some(1e9) };
    let before = reduce(3, 4, &readings(0.0), &gauge, &deck).unwrap();
    let after = reduce(3, 4, &readings(500.0), &gauge, &deck).unwrap();
    let response = before.response(&readings(0.0), change).unwrap();
    for part in 0..3 {
        for position in 0..4 {
            let pair = (PartId::new(part), PositionId::new(position));
            let moved = after.predict(pair.0, pair.1).unwrap().value - before.predict(pair.0, pair.1).unwrap().value;
            assert!((moved - 500.0 * response.of(pair)).abs() < 1e-3, "{part} {position}: {moved}");
        }
    }
}
