use proptest::prelude::*;

use super::*;

fn expected(name: &str, unit: Unit) -> Expected {
    Expected { bound: Bound::named(name).expect("known"), unit: Some(unit), comma: false }
}

fn refused(name: &str, unit: Unit, text: &str) -> AmountError {
    Amount::parse(text, &expected(name, unit)).expect_err("refused")
}

#[test]
fn both_systems_are_exact() {
    let tenth = Amount::parse("0.0001", &expected("deck", Unit::Inch)).unwrap();
    assert_eq!(tenth.ticks(), 2_540);
    let micron = Amount::parse("0.001", &expected("deck", Unit::Millimetre)).unwrap();
    assert_eq!(micron.ticks(), 1_000);
    assert_eq!(Amount::parse("1 thou", &expected("deck", Unit::Millimetre)).unwrap().ticks(), 25_400);
    assert_eq!(Amount::parse("25.4um", &expected("deck", Unit::Inch)).unwrap().ticks(), 25_400);
}

#[test]
fn what_cannot_be_is_refused_with_name_unit_value_and_range() {
    let height = refused("compression_height", Unit::Inch, "41");
    assert_eq!(height.to_string(), "compression_height: 41 in is outside 0.1969 in to 19.685 in");
    assert_eq!(
        height.hint().unwrap(),
        "is this in millimetres? then write `41 mm` or name the unit in the column header"
    );
    assert_eq!(refused("bore", Unit::Inch, "-3.9").to_string(), "bore: -3.9 in is outside 0.3937 in to 39.3701 in");
    for text in ["NaN", "inf", "1e400", "", "3.9.4", "3..9", "--3", "3,940"] {
        let message = refused("bore", Unit::Inch, text).to_string();
        assert!(message.starts_with("bore: ") && message.contains("0.3937 in to 39.3701 in"), "{message}");
    }
    assert!(matches!(refused("bore", Unit::Inch, "3.9 g"), AmountError::WrongUnit { .. }));
    assert!(matches!(refused("deck", Unit::Millimetre, "0.0000001"), AmountError::TooFine { .. }));
    let price = refused("price", Unit::Money, "6.805").to_string();
    assert_eq!(price, "price: `6.805` is finer than a hundredth and cannot be kept exactly");
}

#[test]
fn a_mass_without_its_unit_is_refused() {
    let bare = Expected { bound: Bound::named("mass").expect("known"), unit: None, comma: false };
    let message = Amount::parse("612.4", &bare).unwrap_err().to_string();
    assert_eq!(message, "mass: `612.4` has no unit; expected a mass such as `612.4 g`");
}

#[test]
fn a_decimal_comma_counts_only_where_it_is_allowed() {
    let comma = Expected { comma: true, ..expected("deck", Unit::Millimetre) };
    assert_eq!(Amount::parse("-0,104", &comma).unwrap().ticks(), -104_000);
    let hint = refused("deck", Unit::Millimetre, "0,104").hint().unwrap();
    assert_eq!(hint, "write a point, or separate the columns with semicolons");
}

/// NIST SP 811 (2008) appendix B and 16 CFR 500.19(a): in3, oz to the figures printed there.
#[test]
fn published_factors() {
    let cubic_inch = Amount::parse("1 in3", &expected("dish", Unit::CubicCentimetre)).unwrap();
    assert_eq!(rounded_text(cubic_inch.ticks(), Unit::CubicCentimetre, 4), "16.3871");
    let ounce = Amount::parse("1 oz", &expected("mass", Unit::Gram)).unwrap();
    assert_eq!(rounded_text(ounce.ticks(), Unit::Gram, 4), "28.3495");
    let gram = Amount::parse("1 g", &expected("mass", Unit::Gram)).unwrap();
    assert_eq!(rounded_text(gram.ticks(), Unit::Ounce, 6), "0.035274");
    assert_eq!(rounded_text(25_400_000, Unit::Millimetre, 1), "25.4");
}

#[test]
fn rounding_is_half_to_even() {
    assert_eq!(rounded_text(1_500, Unit::Micrometre, 0), "2");
    assert_eq!(rounded_text(2_500, Unit::Micrometre, 0), "2");
    assert_eq!(rounded_text(-400, Unit::Micrometre, 0), "0");
}

proptest! {
    #[test]
    fn prop_parse_and_print_round_trip(ticks in -10_000_000_i64..=10_000_000, unit in 0_usize..4, decimals in 0_u8..7) {
        let amount = Amount::new(ticks, Unit::WRITTEN[unit], decimals);
        let again = Amount::parse(&amount.to_string(), &expected("deck", Unit::Inch));
        // A single nanometre is no whole number of decimal inches: that text is finer than a tick and refused.
        match again {
            Ok(again) => prop_assert_eq!((again.ticks(), again.unit()), (ticks, amount.unit())),
            Err(refused) => {
                let too_fine = matches!(refused, AmountError::TooFine { .. });
                prop_assert!(too_fine && matches!(amount.unit(), Unit::Inch | Unit::Thou), "{refused}");
            }
        }
    }

    #[test]
    fn prop_a_mass_in_ounces_survives(ticks in 1_000_i64..1_000_000_000, decimals in 0_u8..7) {
        let amount = Amount::new(ticks, Unit::Ounce, decimals);
        let again = Amount::parse(&amount.to_string(), &expected("mass", Unit::Gram)).unwrap();
        prop_assert_eq!(again.ticks(), ticks);
    }

    #[test]
    fn prop_typed_text_survives(whole in 0_u32..100, fraction in "[0-9]{1,4}", negative: bool) {
        let text = format!("{}{whole}.{fraction}", if negative { "-" } else { "" });
        let decimal = Decimal::parse(&text, false).unwrap();
        prop_assert_eq!(decimal.to_string(), text.clone());
        prop_assert_eq!(Decimal::parse(&decimal.to_string(), false).unwrap(), decimal);
    }

    #[test]
    fn prop_any_text_is_answered(text in ".{0,40}") {
        let answer = Amount::parse(&text, &expected("bore", Unit::Inch));
        if let Ok(amount) = answer {
            prop_assert!(Bound::named("bore").expect("known").holds(amount.ticks()));
        }
    }
}
