//! Deleted residuals against reducing again without the reading.

use super::super::suspects::examine;
use super::super::{Reading, reduce};
use super::{connected, plain_gauge};
use proptest::prelude::*;

proptest! {
    #[test]
    fn a_reading_is_compared_with_what_the_others_alone_say((parts, positions, readings) in connected(0)) {
        let used = vec![true; readings.len()];
        let whole = examine(parts, positions, &readings, &used, &plain_gauge()).unwrap();
        let found = whole.crosscheck.checked.len() + whole.crosscheck.unchecked.len();
        prop_assert_eq!(found, readings.len());
        for deleted in &whole.crosscheck.checked {
            let mut rest: Vec<Reading> = readings.clone();
            rest[deleted.reading].left_out = true;
            let reading = &readings[deleted.reading];
            let without = reduce(parts, positions, &rest, &plain_gauge(), &[]).unwrap();
            let expected = without.predict(reading.part, reading.position).unwrap();
            let off = reading.value - expected.value;
            prop_assert!((deleted.off - off).abs() < 1e-6, "{} {}", deleted.off, off);
            if let Some(verdict) = whole.verdict() {
                let t = off / without.repeatability().s.hypot(expected.u);
                prop_assert!((verdict.t(deleted) - t).abs() < 1e-5 * (1.0 + t.abs()), "{} {}", verdict.t(deleted), t);
            }
        }
        for &at in &whole.crosscheck.unchecked {
            let mut rest: Vec<Reading> = readings.clone();
            rest[at].left_out = true;
            let without = reduce(parts, positions, &rest, &plain_gauge(), &[]).unwrap();
            prop_assert_eq!(without.predict(readings[at].part, readings[at].position), None);
        }
    }
}
