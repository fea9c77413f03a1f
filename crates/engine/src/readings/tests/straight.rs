//! Positions predicted from the line of their deck.

use super::super::{BankId, Deck, Finding, Gauge, PartId, PositionId, Reading, Station, reduce};
use super::reading;

fn deck(straight: bool, form: Option<f64>, along: &[f64]) -> Deck {
    let stations =
        (0..).map(PositionId::new).zip(along).map(|(position, &along)| Station { position, along }).collect();
    Deck { stations, straight, form }
}

/// Part 0 in these positions with these values, part 1 in position 0.
fn readings(values: &[(u32, f64)]) -> Vec<Reading> {
    let control = values.iter().map(|&(position, value)| reading(position + 1, 0, position, value));
    control.chain([reading(50, 1, 0, values[0].1 + 700.0)]).collect()
}

const GAUGE: Gauge = Gauge { resolution: None, repeatability: Some(10.0) };

#[test]
fn a_stated_form_needs_two_measured_positions() {
    let decks = [deck(true, Some(40.0), &[0.0, 100.0, 200.0, 400.0])];
    let effects = reduce(2, 4, &readings(&[(0, 1000.0), (1, 1500.0)]), &GAUGE, &decks).unwrap();
    let found = effects.predict(PartId::new(1), PositionId::new(2)).unwrap();
    assert!(found.from_line);
    assert!((found.value - 2700.0).abs() < 1e-9);
    // y_10 - y_00 ... : d_2 = 2 d_1 - d_0, so h_1 + d_2 = y_10 - 2 y_00 + 2 y_01, 9 reading variances; form 1 + 2² + 1.
    assert!((found.u.powi(2) - (9.0 * 100.0 + 6.0 * 1600.0)).abs() < 1e-6, "{}", found.u);
    assert!(effects.untied().ties.is_empty());
    // Two positions of the same line share its errors.
    let pairs = [2, 3].map(|position| (PartId::new(0), PositionId::new(position)));
    let covariance = effects.covariance(&pairs).unwrap();
    // λ = (-1, 2) and (-3, 4): readings and form both 11 in common.
    assert!((covariance[(0, 1)] - 11.0 * (100.0 + 1600.0)).abs() < 1e-6, "{covariance}");
    let apart = effects.difference(pairs[1], pairs[0]).unwrap();
    let variance = covariance[(0, 0)] + covariance[(1, 1)] - 2.0 * covariance[(0, 1)];
    assert!((apart.u.powi(2) - variance).abs() < 1e-6);
    assert!((apart.value - 1000.0).abs() < 1e-9);
}

#[test]
fn an_unstated_form_is_estimated_from_three() {
    let decks = [deck(true, None, &[0.0, 1.0, 2.0, 3.0])];
    let effects = reduce(2, 4, &readings(&[(0, 0.0), (1, 60.0), (2, 0.0)]), &GAUGE, &decks).unwrap();
    let found = effects.predict(PartId::new(0), PositionId::new(3)).unwrap();
    // Line 20 flat; residuals -20, 40, -20: 2400 on 1 degree of freedom; λ = (-2/3, 1/3, 4/3), Σλ² = 7/3.
    assert!((found.value - 20.0).abs() < 1e-9);
    assert!((found.u.powi(2) - (7.0 / 3.0 * 100.0 + 2400.0 * 10.0 / 3.0)).abs() < 1e-6, "{}", found.u);
    assert!((found.dof.value() - 1.0).abs() < 1e-12);
    let measured = effects.predict(PartId::new(0), PositionId::new(1)).unwrap();
    assert!(!measured.from_line && (measured.value - 60.0).abs() < 1e-9);
}

#[test]
fn too_few_measured_positions_are_a_finding() {
    for (form, values, measured, needed) in
        [(None, &[(0, 0.0), (1, 1.0)][..], 2, 3), (Some(5.0), &[(0, 0.0)][..], 1, 2)]
    {
        let decks = [Deck::default(), deck(true, form, &[0.0, 1.0, 2.0, 3.0])];
        let effects = reduce(2, 4, &readings(values), &GAUGE, &decks).unwrap();
        assert_eq!(effects.predict(PartId::new(0), PositionId::new(3)), None);
        let finding = Finding::LineNotDrawn { bank: BankId::new(1), measured, needed };
        assert!(effects.findings().contains(&finding), "{:?}", effects.findings());
    }
}

#[test]
fn a_deck_not_called_straight_predicts_nothing() {
    let decks = [deck(false, Some(5.0), &[0.0, 1.0, 2.0, 3.0])];
    let effects = reduce(2, 4, &readings(&[(0, 0.0), (1, 1.0), (2, 2.0)]), &GAUGE, &decks).unwrap();
    assert_eq!(effects.predict(PartId::new(0), PositionId::new(3)), None);
    assert_eq!(effects.untied().ties.len(), 1);
}

#[test]
fn measured_positions_at_one_place_make_no_line() {
    let decks = [deck(true, Some(5.0), &[1.0, 1.0, 1.0, 3.0])];
    let effects = reduce(2, 4, &readings(&[(0, 0.0), (1, 1.0), (2, 2.0)]), &GAUGE, &decks).unwrap();
    assert_eq!(effects.predict(PartId::new(0), PositionId::new(3)), None);
    assert!(matches!(effects.findings().last(), Some(Finding::LineNotDrawn { measured: 3, needed: 2, .. })));
}
