//! What is named, and what is not.

use super::super::{Finding, Gauge, PartId, PositionId, Reading, Source, reduce};
use super::{gauge, reading};

/// Five parts in four positions, every pair read once, exact but for a little alternation.
fn table() -> Vec<Reading> {
    let mut out = Vec::new();
    for part in 0..5 {
        for position in 0..4 {
            let line = part * 4 + position + 1;
            let wobble = [300.0, -200.0, 100.0, -300.0, 0.0, 200.0, -100.0][line as usize * 3 % 7];
            let value = f64::from(part) * 9000.0 - f64::from(position) * 4000.0 + wobble;
            out.push(reading(line, part, position, value));
        }
    }
    out
}

fn findings(readings: &[Reading], gauge: &Gauge) -> Vec<Finding> {
    reduce(5, 4, readings, gauge, &[]).unwrap().findings().to_vec()
}

#[test]
fn nothing_is_odd_about_good_readings() {
    assert_eq!(findings(&table(), &gauge(100.0, 300.0)), []);
}

#[test]
fn one_bad_reading_is_named_with_what_it_should_be() {
    let mut readings = table();
    let truth = readings[13].value;
    readings[13].value += 31_000.0;
    let all = findings(&readings, &gauge(100.0, 300.0));
    let [Finding::Outlier { line: 14, value, expected, others: 19, t, p }] = all[..] else {
        panic!("{all:?}");
    };
    assert!((value - truth - 31_000.0).abs() < 1e-9);
    assert!((expected - truth).abs() < 1500.0, "{expected} {truth}");
    assert!(t > 10.0 && p < 1e-6);
}

#[test]
fn two_bad_readings_are_both_named() {
    let mut readings = table();
    readings[2].value -= 22_000.0;
    readings[13].value += 31_000.0;
    let all = findings(&readings, &gauge(100.0, 300.0));
    let lines: Vec<u32> = all
        .iter()
        .map(|finding| match finding {
            Finding::Outlier { line, .. } => *line,
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(lines, [14, 3]);
}

/// A control part three times in each of four positions, with a scatter of some steps.
fn repeats() -> Vec<Reading> {
    let wobble = [300.0, -200.0, 0.0, 100.0, -300.0, 200.0, -100.0, 0.0, 300.0, -200.0, 100.0, 200.0];
    (0..12).map(|k| reading(k + 1, 0, k / 3, f64::from(k / 3) * 5000.0 + wobble[k as usize])).collect()
}

#[test]
fn of_two_disagreeing_repeats_neither_is_blamed() {
    let mut readings = repeats();
    readings.push(reading(20, 1, 0, 40_000.0));
    readings.push(reading(21, 1, 0, 47_000.0));
    let all = findings(&readings, &gauge(100.0, 300.0));
    assert!(
        matches!(all[0], Finding::PairDisagrees { lines: [20, 21], apart, .. } if (apart - 7000.0).abs() < 1e-9),
        "{all:?}"
    );
    assert_eq!(all.len(), 1);
}

#[test]
fn of_three_repeats_the_odd_one_is_blamed() {
    let mut readings = repeats();
    readings.extend([(20, 40_000.0), (21, 47_000.0), (22, 40_100.0)].map(|(line, value)| reading(line, 1, 0, value)));
    let all = findings(&readings, &gauge(100.0, 300.0));
    assert!(matches!(all[..], [Finding::Outlier { line: 21, .. }]), "{all:?}");
}

#[test]
fn a_circle_of_four_readings_blames_none() {
    let circle = [(1, 0, 0, 0.0), (2, 0, 1, 0.0), (3, 1, 0, 500.0), (4, 1, 1, 9000.0)];
    let readings = circle.map(|(line, part, position, value)| reading(line, part, position, value));
    let all = findings(&readings, &gauge(100.0, 300.0));
    assert!(
        matches!(&all[0], Finding::CircleDisagrees { lines, off, .. } if *lines == [1, 2, 3, 4] && (off - 8500.0).abs() < 1e-6),
        "{all:?}"
    );
}

#[test]
fn one_step_off_is_not_odd_where_all_others_agree() {
    let mut readings: Vec<Reading> =
        (0..24).map(|k| reading(k + 1, 0, k / 3 % 4, f64::from(k / 3 % 4) * 500.0)).collect();
    readings[7].value += 100.0;
    let only_step = Gauge { resolution: Some(100.0), repeatability: None };
    assert_eq!(findings(&readings, &only_step), []);
    readings[7].value += 400.0;
    let all = findings(&readings, &only_step);
    assert!(matches!(all[..], [Finding::Outlier { line: 8, .. }]), "{all:?}");
}

#[test]
fn unchecked_readings_are_counted_in_one_finding() {
    let mut readings = repeats();
    readings.extend((1..5).rev().map(|part| reading(100 + part, part, 0, 1000.0)));
    let all = findings(&readings, &gauge(100.0, 300.0));
    assert_eq!(all, [Finding::Unchecked { lines: vec![101, 102, 103, 104] }]);
}

#[test]
fn a_reading_left_out_changes_nothing_and_is_compared() {
    let mut readings = table();
    let before = reduce(5, 4, &readings, &gauge(100.0, 300.0), &[]).unwrap();
    let mut extra = reading(99, 2, 2, 70_000.0);
    extra.left_out = true;
    readings.push(extra);
    let after = reduce(5, 4, &readings, &gauge(100.0, 300.0), &[]).unwrap();
    let pair = (PartId::new(2), PositionId::new(2));
    let predicted = before.predict(pair.0, pair.1).unwrap();
    assert_eq!(after.predict(pair.0, pair.1), Some(predicted));
    assert_eq!(after.findings(), [Finding::LeftOut { line: 99, value: 70_000.0, expected: Some(predicted.value) }]);
}

#[test]
fn equal_readings_everywhere_are_suspicious() {
    let mut readings = table();
    for reading in &mut readings {
        reading.value = 1270.0;
    }
    let only_step = Gauge { resolution: Some(100.0), repeatability: None };
    assert_eq!(findings(&readings, &only_step), [Finding::AllEqual { readings: 20, value: 1270.0 }]);
}

#[test]
fn the_value_of_a_rocking_piston_is_the_mean_over_its_spots() {
    // Front 2 repeats, rear 1: the front does not count double.
    let at = |line, spot, value| Reading { spot: Some(spot), ..reading(line, 0, 0, value) };
    let readings = [at(1, 1, 900.0), at(2, 1, 1100.0), at(3, 2, -3000.0)];
    let effects = reduce(1, 1, &readings, &gauge(10.0, 100.0), &[]).unwrap();
    let value = effects.predict(PartId::new(0), PositionId::new(0)).unwrap().value;
    assert!((value + 1000.0).abs() < 1e-9);
    // The rock is not scatter: only the two repeats at the front are, 1 degree of freedom.
    let (s, dof) = effects.repeatability().residual.unwrap();
    assert!((s - 200.0 / 2.0_f64.sqrt()).abs() < 1e-9 && (dof.value() - 1.0).abs() < 1e-12);
}

#[test]
fn a_missing_spot_is_a_finding() {
    let at = |line, part, spot, value| Reading { spot: Some(spot), ..reading(line, part, 0, value) };
    let readings = [at(1, 0, 1, 1000.0), at(2, 0, 2, -3000.0), at(3, 1, 1, 500.0)];
    let all = findings(&readings, &gauge(10.0, 100.0));
    assert!(all.contains(&Finding::UnevenSpots { lines: vec![3], apart: Some(4000.0) }), "{all:?}");
}

#[test]
fn parts_that_do_not_add_up_are_found() {
    // The odd parts read differently in the odd positions, by much more than two repeats differ.
    let mut readings = Vec::new();
    for reading in table() {
        let pair = (reading.part.index(), reading.position.index());
        let extra = if pair.0 % 2 == 1 && pair.1 % 2 == 1 { 2500.0 } else { 0.0 };
        let repeat = if reading.line % 2 == 0 { 300.0 } else { -300.0 };
        readings.push(Reading { value: reading.value + extra, ..reading });
        readings.push(Reading { line: reading.line + 100, value: reading.value + extra + repeat, ..reading });
    }
    let all = findings(&readings, &Gauge { resolution: Some(10.0), repeatability: None });
    let [Finding::LackOfFit { lines, off, p, part, position, f }] = &all[..] else {
        panic!("{all:?}");
    };
    let line = u32::try_from(part.index() * 4 + position.index() + 1).unwrap();
    assert_eq!(*lines, [line, line + 100]);
    assert!(off.abs() > 1000.0 && *f > 10.0 && *p < 0.001, "{off} {f} {p}");
}

#[test]
fn more_scatter_than_stated_is_found() {
    let all = findings(&repeats(), &gauge(10.0, 20.0));
    assert!(
        matches!(all[..], [Finding::ScatterAboveStated { found, stated, p }] if found > 200.0 && stated < 21.0 && p < 1e-4),
        "{all:?}"
    );
}

#[test]
fn the_source_of_the_scatter_is_told() {
    let source =
        |readings: &[Reading], gauge: Gauge| reduce(5, 4, readings, &gauge, &[]).unwrap().repeatability().source;
    let single = [reading(1, 0, 0, 5.0)];
    let none = Gauge::default();
    let step = Gauge { resolution: Some(100.0), ..none };
    assert_eq!(source(&repeats(), none), Source::Residuals);
    assert_eq!(source(&repeats(), gauge(100.0, 300.0)), Source::Pooled);
    assert_eq!(source(&single, gauge(100.0, 300.0)), Source::Stated);
    assert_eq!(source(&single, step), Source::ResolutionOnly);
    assert_eq!(source(&single, none), Source::Nothing);
    let only_step = reduce(1, 1, &single, &step, &[]).unwrap().predict(PartId::new(0), PositionId::new(0)).unwrap();
    assert!((only_step.u - 100.0 / 12.0_f64.sqrt()).abs() < 1e-9);
    assert!(only_step.dof.value().is_infinite());
}

/// `s² = (ν₀ s₀² + ν s²)/(ν₀ + ν)` with ν₀ = 10.
#[test]
fn the_stated_figure_counts_as_ten_degrees_of_freedom() {
    let readings = [reading(1, 0, 0, 0.0), reading(2, 0, 0, 600.0), reading(3, 0, 0, 300.0)];
    let stated = Gauge { resolution: None, repeatability: Some(200.0) };
    let found = *reduce(1, 1, &readings, &stated, &[]).unwrap().repeatability();
    assert!((found.s.powi(2) - (10.0 * 40_000.0 + 2.0 * 90_000.0) / 12.0).abs() < 1e-6);
    assert!((found.dof.value() - 12.0).abs() < 1e-12);
    // Equal repeats do not make certain: their mean is no better than the step.
    let equal = [reading(1, 0, 0, 50.0), reading(2, 0, 0, 50.0), reading(3, 0, 0, 50.0)];
    let step = Gauge { resolution: Some(120.0), repeatability: None };
    let effects = reduce(1, 1, &equal, &step, &[]).unwrap();
    let u = effects.predict(PartId::new(0), PositionId::new(0)).unwrap().u;
    assert!((u * u - 1200.0).abs() < 1e-6);
}
