//! Input that is refused, and input that must not bring anything down.

use super::super::{Deck, Gauge, PartId, PositionId, Reading, ReduceError, Station, reduce};
use super::{plain_gauge, reading};
use proptest::prelude::*;

#[test]
fn numbers_that_are_no_readings_are_refused_with_their_line() {
    let error = |reading: Reading| reduce(2, 2, &[reading], &plain_gauge(), &[]).unwrap_err().to_string();
    assert_eq!(error(reading(7, 2, 0, 0.0)), "line 7: part number 2 is outside the 2 parts");
    assert_eq!(error(reading(7, 0, 3, 0.0)), "line 7: position number 3 is outside the 2 positions");
    assert_eq!(
        error(reading(7, 0, 0, f64::NAN)),
        "line 7: reading NaN nm is outside -1000000000000..=1000000000000 nm"
    );
    for value in [f64::INFINITY, f64::NEG_INFINITY, 2e12] {
        let refused = reduce(2, 2, &[reading(7, 0, 0, value)], &plain_gauge(), &[]);
        assert!(matches!(refused, Err(ReduceError::ValueOutOfRange { line: 7, .. })));
    }
}

#[test]
fn gauges_and_banks_are_checked() {
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let gauge = Gauge { resolution: Some(bad), repeatability: None };
        assert!(matches!(reduce(1, 1, &[], &gauge, &[]), Err(ReduceError::GaugeOutOfRange { name: "resolution", .. })));
        let gauge = Gauge { resolution: None, repeatability: Some(bad) };
        assert!(matches!(
            reduce(1, 1, &[], &gauge, &[]),
            Err(ReduceError::GaugeOutOfRange { name: "repeatability", .. })
        ));
    }
    let deck = |position, along| Deck {
        stations: vec![Station { position: PositionId::new(position), along }],
        straight: true,
        form: None,
    };
    let refused = |deck: Deck| reduce(1, 1, &[], &plain_gauge(), &[deck]).unwrap_err();
    assert!(matches!(refused(deck(1, 0.0)), ReduceError::UnknownStation { .. }));
    assert!(matches!(refused(deck(0, f64::NAN)), ReduceError::CoordinateOutOfRange { .. }));
}

proptest! {
    /// Whatever the readings, nothing panics, and what is predicted is finite.
    #[test]
    fn any_readings_give_finite_answers(
        cells in prop::collection::vec((0_u32..4, 0_u32..4, prop_oneof![-1e12..1e12_f64, Just(0.0), -1e-9..1e-9_f64], 0_u32..3, any::<bool>()), 0..40),
        resolution in prop::option::of(prop_oneof![1e-6..1e-3_f64, 1.0..1e12_f64]),
        repeatability in prop::option::of(prop_oneof![1e-6..1e-3_f64, 1.0..1e12_f64]),
    ) {
        let readings: Vec<Reading> = (1..)
            .zip(cells)
            .map(|(line, (part, position, value, spot, left_out))| Reading { spot: spot.checked_sub(1), left_out, ..reading(line, part, position, value) })
            .collect();
        let deck = Deck {
            stations: (0..4).map(|at| Station { position: PositionId::new(at), along: f64::from(at) }).collect(),
            straight: true,
            form: None,
        };
        let effects = reduce(4, 4, &readings, &Gauge { resolution, repeatability }, &[deck]).unwrap();
        for part in (0..4).map(PartId::new) {
            for position in (0..4).map(PositionId::new) {
                if let Some(found) = effects.predict(part, position) {
                    prop_assert!(found.value.is_finite() && found.u.is_finite() && found.u >= 0.0, "{:?}", found);
                }
            }
        }
    }

    /// A covariance is that of something: no combination of pairs has a negative variance.
    #[test]
    fn covariances_are_semidefinite((parts, positions, readings) in super::connected(2), step in 1.0..300.0_f64) {
        let gauge = Gauge { resolution: Some(step), repeatability: Some(20.0) };
        let effects = reduce(parts, positions, &readings, &gauge, &[]).unwrap();
        let pairs: Vec<_> = (0..u32::try_from(parts).unwrap())
            .flat_map(|part| (0..u32::try_from(positions).unwrap()).map(move |at| (PartId::new(part), PositionId::new(at))))
            .collect();
        let covariance = effects.covariance(&pairs).unwrap();
        let largest = covariance.diagonal().amax();
        prop_assert!(covariance.symmetric_eigenvalues().min() > -1e-12 * largest * pairs.len() as f64);
        for (at, pair) in pairs.iter().enumerate() {
            let u = effects.predict(pair.0, pair.1).unwrap().u;
            prop_assert!((covariance[(at, at)] - u * u).abs() < 1e-9 * largest);
        }
    }
}
