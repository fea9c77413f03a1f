//! What must not matter.

use super::super::{Gauge, PartId, PositionId, Reading, reduce};
use super::connected;
use proptest::prelude::*;

fn gauge() -> Gauge {
    Gauge { resolution: Some(30.0), repeatability: Some(25.0) }
}

proptest! {
    /// The order of the readings changes nothing at all, to the last bit.
    #[test]
    fn the_order_of_readings_does_not_matter(
        (parts, positions, readings) in connected(1), seed in any::<u64>(),
    ) {
        let mut shuffled = readings.clone();
        shuffled.sort_by_key(|r| u64::from(r.line).wrapping_add(seed).wrapping_mul(0x9e37_79b9_7f4a_7c15));
        let one = reduce(parts, positions, &readings, &gauge(), &[]).unwrap();
        let two = reduce(parts, positions, &shuffled, &gauge(), &[]).unwrap();
        for part in (0..).map(PartId::new).take(parts) {
            for position in (0..).map(PositionId::new).take(positions) {
                prop_assert_eq!(one.predict(part, position), two.predict(part, position));
            }
        }
        prop_assert_eq!(one.repeatability(), two.repeatability());
    }

    /// The gauge set to another zero shifts every prediction alike; a position read higher shifts that position.
    #[test]
    fn shifts_come_through_unchanged(
        (parts, positions, readings) in connected(1), zero in -1e6..1e6_f64, step in -1e3..1e3_f64,
    ) {
        let shifted: Vec<Reading> = readings
            .iter()
            .map(|r| Reading { value: r.value + zero + if r.position.index() == 0 { step } else { 0.0 }, ..*r })
            .collect();
        let one = reduce(parts, positions, &readings, &gauge(), &[]).unwrap();
        let two = reduce(parts, positions, &shifted, &gauge(), &[]).unwrap();
        for part in (0..).map(PartId::new).take(parts) {
            for position in (0..).map(PositionId::new).take(positions) {
                let (a, b) = (one.predict(part, position).unwrap(), two.predict(part, position).unwrap());
                let shift = zero + if position.index() == 0 { step } else { 0.0 };
                prop_assert!((b.value - a.value - shift).abs() < 1e-6);
                prop_assert!((b.u - a.u).abs() < 1e-5 * (1.0 + a.u));
            }
        }
    }

    /// A prediction is the sum of the two effects to the last bit, so that a table of rounded effects is a table of sums.
    #[test]
    fn predictions_are_sums((parts, positions, readings) in connected(1)) {
        let effects = reduce(parts, positions, &readings, &gauge(), &[]).unwrap();
        let mut total = 0.0;
        for position in (0..).map(PositionId::new).take(positions) {
            let d = effects.position_effect(position).unwrap();
            total += d;
            for part in (0..).map(PartId::new).take(parts) {
                let sum = effects.part_effect(part).unwrap() + d;
                prop_assert_eq!(sum.to_bits(), effects.predict(part, position).unwrap().value.to_bits());
            }
        }
        prop_assert!(total.abs() < 1e-6);
    }
}
